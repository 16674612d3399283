# Treatments against a control in two outcomes together, by relabeling within blocks: family.json.
# Every layout in plain R, and the free step-down of coin (Westfall & Young 1993).
source(file.path(dirname(sub("--file=", "", grep("--file=", commandArgs(), value = TRUE))), "lib.R"))
suppressPackageStartupMessages({ library(coin); library(multcomp) })
permutations <- function(n) {
  if (n == 1) return(matrix(1L))
  p <- permutations(n - 1)
  do.call(rbind, lapply(1:n, function(i) cbind(i, ifelse(p >= i, p + 1L, p))))
}
d <- read_input("rcbd_4x4")
# A second outcome of another unit, nearly the other way round: a bent line of the first.
d$second <- 1000 / (d$y + 10)
# Differences from A of one relabeling matrix per block, all combinations; over the permutation sd.
statistics <- function(y) {
  Y <- matrix(y, 4, 4, byrow = TRUE); P <- permutations(4); S <- matrix(0, 1, 4)
  for (i in 1:4) {
    B <- matrix(Y[i, ][P], nrow = 24)
    S <- do.call(rbind, lapply(1:24, function(k) sweep(S, 2, B[k, ], "+")))
  }
  D <- (S[, 2:4] - S[, 1]) / 4
  within <- y - ave(y, d$block)
  list(drawn = (tapply(y, d$trt, mean)[2:4] - mean(y[d$trt == "A"])) / sqrt(2 / 4 * sum(within^2) / 12),
       all = D / sqrt(2 / 4 * sum(within^2) / 12))
}
one <- statistics(d$y); two <- statistics(d$second)
drawn <- abs(c(one$drawn, two$drawn)); all <- abs(cbind(one$all, two$all))
order <- order(drawn, decreasing = TRUE)
p <- sapply(1:6, function(i) mean(all[, i] >= drawn[i] * (1 - 1e-9)))
step <- numeric(6); before <- 0
for (i in 1:6) {
  top <- do.call(pmax, as.data.frame(all[, order[i:6], drop = FALSE]))
  before <- max(before, mean(top >= drawn[order[i]] * (1 - 1e-9))); step[order[i]] <- before
}
set.seed(20261125)
resamples <- 200000
test <- independence_test(y + second ~ trt | block, d, teststat = "maximum",
  xtrafo = mcp_trafo(trt = "Dunnett"), distribution = approximate(nresample = resamples))
of_coin <- function(method) unname(as.vector(quiet(pvalue(test, method = method))))
sampled <- list(abs = 4 * sqrt(0.25 / resamples))
save_case("family", "inputs/rcbd_4x4.csv", "coin::independence_test(y + second ~ trt | block), step-down",
  list(statistics = unname(c(one$drawn, two$drawn)), p = p, step_down = step, layouts = nrow(all),
    coin_statistics = unname(as.vector(statistic(test, "standardized"))),
    coin_step_down = of_coin("step-down"), coin_unadjusted = of_coin("unadjusted"), coin_resamples = resamples),
  list(default = list(rel = 1e-9), coin_step_down = sampled, coin_unadjusted = sampled),
  "B, C, D minus A in y, then in second = 1000 / (y + 10); coin draws layouts at random and warns that its step-down rests on subset pivotality")
