# Times R on the simulated trials that bench/trials.ts times: prints "scenario milliseconds" lines, for
# 1,000 trials, from as many as the argument says, each fitted by glmer with and without treatments.
# Usage: Rscript trials.R TRIALS. Processor time, glmer's default settings.
if (requireNamespace("lme4", quietly = TRUE)) {
  trials <- as.integer(commandArgs(TRUE)[1])
  quiet <- function(e) suppressWarnings(suppressMessages(e))
  scenarios <- list(
    null = list(beta = c(-1, -1, -1, -1), sb = 0.4, sp = 0.35),
    moderate = list(beta = c(-0.6, -1.2, -1.6, -1), sb = 0.4, sp = 0.35),
    small = list(beta = c(-0.8, -1, -1.2, -0.9), sb = 0.4, sp = 0.35),
    rare = list(beta = c(-3.4, -4.2, -4.8, -3.6), sb = 0.4, sp = 0.3)
  )
  d <- expand.grid(trt = factor(1:4), block = factor(1:4))
  d$plot <- factor(1:16)
  one <- function(s) {
    eta <- s$beta[d$trt] + rnorm(4, 0, s$sb)[d$block] + rnorm(16, 0, s$sp)
    d$y <- rbinom(16, 72, plogis(eta))
    full <- quiet(lme4::glmer(cbind(y, 72 - y) ~ trt + (1 | block) + (1 | plot), d, binomial))
    null <- quiet(lme4::glmer(cbind(y, 72 - y) ~ 1 + (1 | block) + (1 | plot), d, binomial))
    2 * as.numeric(logLik(full) - logLik(null))
  }
  for (name in names(scenarios)) {
    set.seed(20261125)
    one(scenarios[[name]])
    before <- proc.time()
    for (i in seq_len(trials)) one(scenarios[[name]])
    cat(name, 1e6 * sum((proc.time() - before)[1:2]) / trials, "\n")
  }
}
