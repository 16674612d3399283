# Chains behind h_bayes_cbpp.json and h_bayes_leaf_4x4x6.json. Not in R/, since `npm run oracle` would
# need rstanarm and many minutes: Rscript h_bayes.R FOLDER, the folder holding inputs/.
source(file.path(dirname(sub("--file=", "", grep("--file=", commandArgs(), value = TRUE))), "R", "lib.R"))
suppressPackageStartupMessages(library(rstanarm))
dir <- commandArgs(TRUE)[1]
for (nm in c("cbpp", "leaf_4x4x6")) {
  d <- read.csv(file.path(dir, "inputs", paste0(nm, ".csv")))
  if (nm == "cbpp") {
    d$trt <- factor(d$period); d$y <- d$incidence; d$n <- d$size; d$grp <- factor(d$herd)
    fo <- cbind(y, n - y) ~ trt + (1 | grp)
  } else {
    d$trt <- factor(d$trt); d$y <- d$diseased; d$n <- d$leaves
    fo <- cbind(y, n - y) ~ trt + (1 | block) + (1 | plot)
  }
  long <- stan_glmer(fo, data = d, family = binomial(), prior = normal(0, 2.5, autoscale = FALSE),
    prior_intercept = normal(0, 5, autoscale = FALSE), prior_covariance = decov(1, 1, 1, 1),
    chains = 4, iter = 11000, warmup = 1000, seed = 7, refresh = 0)
  x <- as.matrix(long)
  b <- cbind(0, x[, grep("^trt", colnames(x)), drop = FALSE])
  colnames(b)[1] <- paste0("trt", levels(d$trt)[1])
  best <- table(factor(apply(b, 1, which.min), seq_len(ncol(b)))) / nrow(b)
  q <- function(M) data.frame(par = colnames(M), mean = colMeans(M), sd = apply(M, 2, sd),
    q025 = apply(M, 2, quantile, .025), q50 = apply(M, 2, median), q975 = apply(M, 2, quantile, .975))
  vars <- x[, c("(Intercept)", grep("^trt|^Sigma", colnames(x), value = TRUE)), drop = FALSE]
  print(list(posterior = q(vars), prob_lowest = setNames(as.numeric(best), colnames(b)),
    prob_each_lower_than_first = colMeans(b < 0), mean_prob = q(plogis(x[, "(Intercept)"] + b)),
    expected_rank = rowMeans(apply(b, 1, rank))))
}
