# Grades in cumulative logit mixed models: e_clmm_*.json.
source(file.path(dirname(sub("--file=", "", grep("--file=", commandArgs(), value = TRUE))), "lib.R"))
suppressPackageStartupMessages({ library(ordinal); library(emmeans) })
emm_options(opt.digits = FALSE)

tight <- clmm.control(gradTol = 1e-7, maxIter = 500)
tolerances <- list(default = list(rel = 1e-4, abs = 1e-4), `*/logLik` = list(abs = 1e-5))

fit_of <- function(m) {
  s <- coef(summary(m))
  list(logLik = as.numeric(logLik(m)), coef = setNames(s[, 1], rownames(s)), se = setNames(s[, 2], rownames(s)),
    sd = sapply(VarCorr(m), function(v) sqrt(v[1, 1])))
}

d <- read_input("ordinal_4x5x5")
d$sc <- factor(d$score)
one <- clmm(sc ~ trt + (1 | block), d, control = tight)
two <- clmm(sc ~ trt + (1 | block) + (1 | plot), d, control = tight)
without <- clmm(sc ~ 1 + (1 | block) + (1 | plot), d, control = tight)
quadrature <- clmm(sc ~ trt + (1 | plot), d, nAGQ = 11, control = tight)
flat <- clm(sc ~ trt, data = d)
chisq <- 2 * as.numeric(logLik(two) - logLik(without))
probability <- plain(emmeans(two, ~ sc | trt, mode = "prob"))
names(probability)[1] <- "class"
save_case("e_clmm_ordinal", "inputs/ordinal_4x5x5.csv",
  "clmm(factor(score)~trt+(1|block)+(1|plot)), logit, Laplace; nAGQ=11 for one grouping; clm",
  list(block = fit_of(one), block_plot = fit_of(two), plot_agq11 = fit_of(quadrature),
    clm = list(logLik = as.numeric(logLik(flat)), coef = coef(flat), se = coef(summary(flat))[, 2]),
    lrt = list(chisq = chisq, df = 3, p = pchisq(chisq, 3, lower.tail = FALSE)),
    emm_latent = plain(emmeans(two, "trt")), emm_mean_class = plain(emmeans(two, "trt", mode = "mean.class")),
    emm_prob = probability, pairs = plain(pairs(emmeans(two, "trt")))),
  tolerances, "coef: thresholds first, then slopes; P(Y<=k)=logit^-1(theta_k - eta)")

w <- read_input("wine", c("rating", "judge"))
w$temp <- factor(w$temp, levels = c("cold", "warm"))
w$contact <- factor(w$contact, levels = c("no", "yes"))
judged <- function(n) fit_of(clmm(rating ~ temp + contact + (1 | judge), w, nAGQ = n, control = tight))
save_case("e_clmm_wine", "inputs/wine.csv", "clmm(rating~temp+contact+(1|judge)), Laplace and nAGQ=10",
  list(laplace = judged(1), agq10 = judged(10)), tolerances,
  "laplace.logLik is 3.5e-6 too high: clmm stops its search for the modes early")
