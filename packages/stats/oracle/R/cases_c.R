# Relabelings within blocks: c_perm_*.json. The statistic is the sum of squared treatment totals, which
# orders layouts as F does; ties within 1e-9 of it count as equal.
source(file.path(dirname(sub("--file=", "", grep("--file=", commandArgs(), value = TRUE))), "lib.R"))
suppressPackageStartupMessages(library(coin))

permutations <- function(n) {
  if (n == 1) return(matrix(1L))
  p <- permutations(n - 1)
  do.call(rbind, lapply(1:n, function(i) cbind(i, ifelse(p >= i, p + 1L, p))))
}

# Treatment totals of every layout, blocks in rows of Y; the first block is held fixed by symmetry.
all_totals <- function(Y) {
  P <- permutations(ncol(Y))
  S <- matrix(Y[1, ], 1)
  for (i in 2:nrow(Y)) {
    B <- matrix(Y[i, ][P], nrow = nrow(P))
    S <- do.call(rbind, lapply(seq_len(nrow(B)), function(k) sweep(S, 2, B[k, ], "+")))
  }
  S
}

# Treatment totals of n random layouts.
drawn_totals <- function(Y, n) {
  t <- ncol(Y)
  S <- matrix(0, n, t)
  for (i in seq_len(nrow(Y))) {
    o <- matrix(order(rep(1:n, each = t), runif(n * t)), n, t, byrow = TRUE)
    S <- S + matrix(Y[i, ][((o - 1) %% t) + 1], n, t)
  }
  S
}

two_treatments <- function(d) {
  d <- droplevels(d[d$trt %in% c("A", "B"), ])
  difference <- d$y[d$trt == "A"] - d$y[d$trt == "B"]
  signs <- as.matrix(expand.grid(rep(list(c(-1, 1)), length(difference))))
  ranked <- coin::wilcoxsign_test(y[trt == "A"] ~ y[trt == "B"], data = list(y = d$y, trt = d$trt), distribution = "exact")
  stratified <- independence_test(y ~ trt | block, d, distribution = "exact")
  list(exact_p_coin = as.numeric(pvalue(stratified)), signed_rank_exact_p = as.numeric(pvalue(ranked)),
    signflip_exact_p = mean(abs(signs %*% difference) >= abs(sum(difference)) - 1e-9))
}

exact_parts <- function(Y, seen) {
  S <- all_totals(Y)
  squares <- rowSums(S^2)
  ranks <- t(apply(Y, 1, rank))
  range <- apply(S, 1, max) - apply(S, 1, min)
  totals <- colSums(Y)
  pair <- combn(ncol(Y), 2)
  apart <- totals[pair[1, ]] - totals[pair[2, ]]
  reached <- sum(squares >= seen - 1e-9 * seen)
  list(exact_p = reached / length(squares), exact_n_enumerated = length(squares), exact_count = reached,
    friedman_exact_p = mean(rowSums(all_totals(ranks)^2) >= sum(colSums(ranks)^2) - 1e-9),
    range_adjusted_pairwise = data.frame(i = LETTERS[pair[1, ]], j = LETTERS[pair[2, ]], diff = apart / nrow(Y),
      p = sapply(abs(apart), function(x) mean(range >= x - 1e-9))))
}

relabelled <- function(d) {
  Y <- matrix(d$y, nlevels(d$block), nlevels(d$trt), byrow = TRUE)
  seen <- sum(colSums(Y)^2)
  set.seed(11)
  drawn <- rowSums(drawn_totals(Y, 1e6)^2)
  quadratic <- independence_test(y ~ trt | block, d, teststat = "quadratic")
  set.seed(3)
  sampled <- independence_test(y ~ trt | block, d, teststat = "quadratic", distribution = approximate(nresample = 100000))
  maximum <- independence_test(y ~ trt | block, d, teststat = "maximum")
  friedman <- coin::friedman_test(y ~ trt | block, d)
  c(list(observed_sum_sq_totals = seen, mc1e6_p = (1 + sum(drawn >= seen - 1e-9 * seen)) / (1 + 1e6),
    coin_asymptotic = list(stat = as.numeric(statistic(quadratic)), p = as.numeric(pvalue(quadratic))),
    coin_mc1e5_p = as.numeric(pvalue(sampled)), coin_maxT_asymptotic_p = as.numeric(pvalue(maximum)),
    coin_maxT_stat = as.numeric(statistic(maximum)),
    coin_friedman = list(stat = as.numeric(statistic(friedman)), p = as.numeric(pvalue(friedman))), AvsB = two_treatments(d)),
    if (nlevels(d$trt) == 4) exact_parts(Y, seen))
}

# Sampled shares: four standard errors of a difference of two samples.
within <- function(p, n) list(abs = 4 * sqrt(2 * p * (1 - p) / n))
for (name in c("rcbd_4x4", "rcbd_6x5")) {
  answers <- relabelled(read_input(name))
  save_case(paste0("c_perm_", name), paste0("inputs/", name, ".csv"),
    "within-block permutation of the sum of squared treatment totals; coin::independence_test(y~trt|block)", answers,
    list(default = list(rel = 1e-9), mc1e6_p = within(answers$mc1e6_p, 1e6), coin_mc1e5_p = within(max(answers$coin_mc1e5_p, 1e-5), 1e5),
      coin_maxT_asymptotic_p = list(abs = 1e-3)),
    "p = (1 + count) / (1 + N) for drawn layouts; coin_maxT_asymptotic_p samples a multivariate normal")
}
