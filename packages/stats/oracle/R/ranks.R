# Rank tests within blocks, chi-square, exact and sampled: ranks.json.
source(file.path(dirname(sub("--file=", "", grep("--file=", commandArgs(), value = TRUE))), "lib.R"))
suppressPackageStartupMessages(library(coin))
set.seed(20261125)

# Van Elteren: ranks within the block over its size plus one.
weighted <- function(data, block) trafo(data, numeric_trafo = function(y) ave(y, block, FUN = function(x) rank(x) / (length(x) + 1)))
elteren <- function(formula, d, ...) independence_test(formula, d, ytrafo = function(data) weighted(data, d$block), teststat = "quadratic", ...)
# The same weights in whole numbers, for coin's exact algorithm; blocks of one size only.
whole <- function(data) trafo(data, numeric_trafo = function(y) 2 * ave(y, pairs$block, FUN = rank))
answer <- function(test) list(statistic = as.numeric(statistic(test)), p = as.numeric(pvalue(test)))

leaf <- read_input("leaf_4x4x6")
two <- droplevels(subset(leaf, trt %in% c("A", "C")))
# Uneven: some plants dropped, so that blocks have 17 to 24.
uneven <- leaf[-c(2, 3, 9, 28, 29, 30, 31, 32, 55, 71, 90), ]
uneven_two <- droplevels(subset(uneven, trt %in% c("A", "C")))

# Plots as units: block x treatment means of the counts, six plants each.
plots <- aggregate(diseased ~ block + trt, leaf, mean)
# Two plots of each of two treatments in each of four blocks, with ties.
pairs <- data.frame(block = factor(rep(1:4, each = 4)), trt = factor(rep(c("A", "A", "B", "B"), 4)),
  y = c(3, 5, 1, 2, 4, 4, 4, 1, 6, 2, 2, 2, 7, 5, 3, 4))
draws <- 200000

save_case("ranks", c("inputs/leaf_4x4x6.csv"),
  "coin: friedman_test, kruskal_test, and independence_test of weighted ranks within blocks (kruskal_test | block ranks all blocks together), asymptotic, exact and approximate",
  list(
    elteren_even = answer(elteren(diseased ~ trt | block, leaf)),
    elteren_even_two = answer(elteren(diseased ~ trt | block, two)),
    elteren_uneven = answer(elteren(diseased ~ trt | block, uneven)),
    elteren_uneven_two = answer(elteren(diseased ~ trt | block, uneven_two)),
    kruskal_uneven_no_blocks = answer(kruskal_test(diseased ~ trt, uneven)),
    friedman_plots = answer(friedman_test(diseased ~ trt | block, plots)),
    friedman_plots_sampled = answer(friedman_test(diseased ~ trt | block, plots, distribution = approximate(nresample = draws))),
    pairs = answer(elteren(y ~ trt | block, pairs)),
    pairs_exact = answer(independence_test(y ~ trt | block, pairs, ytrafo = whole, distribution = exact())),
    pairs_sampled = answer(elteren(y ~ trt | block, pairs, distribution = approximate(nresample = draws))),
    draws = draws,
    pairs_y = I(pairs$y)),
  list(default = list(rel = 1e-9), "friedman_plots_sampled/p" = list(abs = 0.003), "pairs_sampled/p" = list(abs = 0.005)),
  "sampled p-values: 200,000 draws")
