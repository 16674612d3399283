# Times R on the relabelings that bench/exact.ts times: prints "case what milliseconds" lines.
# Usage: Rscript exact.R INPUTS. Milliseconds for 1e6 relabelings, the median of five runs.
suppressPackageStartupMessages(library(coin))
inputs <- commandArgs(TRUE)[1]
# Processor time, which other programs on the machine do not lengthen.
median_ms <- function(f, scale = 1) {
  f()
  runs <- sapply(1:5, function(i) { before <- proc.time(); f(); sum((proc.time() - before)[1:2]) })
  1000 * scale * median(runs)
}
# Sum of squared treatment totals of n random relabelings within blocks, vectorised over relabelings.
vectorised <- function(Y, n) {
  t <- ncol(Y); S <- matrix(0, n, t)
  for (i in seq_len(nrow(Y))) {
    o <- matrix(order(rep(seq_len(n), each = t), runif(n * t)), n, t, byrow = TRUE)
    S <- S + matrix(Y[i, ][((o - 1) %% t) + 1], n, t)
  }
  rowSums(S^2)
}
permutations <- function(n) {
  if (n == 1) return(matrix(1L))
  p <- permutations(n - 1)
  do.call(rbind, lapply(1:n, function(i) cbind(i, ifelse(p >= i, p + 1L, p))))
}
# All relabelings with the first block held fixed.
enumerated <- function(Y) {
  P <- permutations(ncol(Y)); S <- matrix(Y[1, ], 1)
  for (i in 2:nrow(Y)) {
    B <- matrix(Y[i, ][P], nrow = nrow(P))
    S <- do.call(rbind, lapply(seq_len(nrow(B)), function(k) sweep(S, 2, B[k, ], "+")))
  }
  rowSums(S^2)
}
for (name in c("rcbd_4x4", "rcbd_6x5")) {
  d <- read.csv(file.path(inputs, paste0(name, ".csv")))
  d$block <- factor(d$block, levels = unique(d$block)); d$trt <- factor(d$trt)
  Y <- matrix(d$y, nlevels(d$block), nlevels(d$trt), byrow = TRUE)
  set.seed(3)
  approximate_test <- function() pvalue(independence_test(y ~ trt | block, d, teststat = "quadratic", distribution = approximate(nresample = 100000)))
  cat(name, "coin", median_ms(approximate_test, 10), "\n")
  # A fifth of the million at a time: the whole needs gigabytes.
  cat(name, "vectorised", median_ms(function() mean(vectorised(Y, 2e5)), 5), "\n")
  if (ncol(Y) == 4) cat(name, "enumerated", median_ms(function() for (i in 1:50) mean(enumerated(Y)), 1 / 50), "\n")
}
