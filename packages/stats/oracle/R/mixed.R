# Mixed-model answers beyond cases_b.R: mixed.json.
source(file.path(dirname(sub("--file=", "", grep("--file=", commandArgs(), value = TRUE))), "lib.R"))
suppressPackageStartupMessages(library(lme4))
rd <- function(f) {
  d <- read.csv(input_file(f))
  for (v in setdiff(names(d), c("leaves", "diseased", "total", "incidence", "size", "germ", "n"))) d[[v]] <- factor(d[[v]])
  d
}
ctl <- glmerControl(optimizer = "bobyqa", tolPwrss = 1e-13, optCtrl = list(maxfun = 2e5, rhoend = 1e-9),
  check.conv.singular = "ignore", check.conv.grad = "ignore", check.conv.hess = "ignore")
ex <- list()

# The objective alone: logLik at parameters that are no optimum. theta in lme4's own order.
at <- function(formula, d, theta, beta, n = 1) {
  f <- update(glmer(formula, d, binomial, nAGQ = n, control = ctl), devFunOnly = TRUE)
  -f(c(theta, beta)) / 2
}
d <- rd("leaf_4x4x6")
leaf <- cbind(diseased, leaves - diseased) ~ trt + (1 | block) + (1 | plot) + (1 | plant)
stopifnot(names(getME(glmer(leaf, d, binomial, control = ctl), "theta")) == c("plant.(Intercept)", "plot.(Intercept)", "block.(Intercept)"))
b <- c(-0.4, -1, -1.5, -0.3)
ex$leaf_at <- list(plant_plot_block = I(c(0.6, 0.3, 0.2)), beta = I(b), logLik = at(leaf, d, c(0.6, 0.3, 0.2), b))
ex$leaf_at_zero_plot <- list(plant_plot_block = I(c(0.6, 0, 0.2)), beta = I(b), logLik = at(leaf, d, c(0.6, 0, 0.2), b))

# Downy mildew of grape (Hughes & Madden 1995), leaves of each shoot, vines in plots in blocks.
d <- rd("hughes.grapes")
d$plot <- factor(paste(d$block, d$trt)); d$stock <- factor(paste(d$plot, d$vine))
m <- glmer(cbind(diseased, total - diseased) ~ trt + (1 | block) + (1 | plot) + (1 | stock), d, binomial, control = ctl)
ex$grapes <- list(logLik = as.numeric(logLik(m)), fixef = fixef(m), se = sqrt(diag(as.matrix(vcov(m)))),
  sd = sapply(VarCorr(m), function(v) sqrt(v[1, 1])))

# Crossed groupings: the shoot number taken as a second, crossed, factor.
m <- glmer(cbind(diseased, total - diseased) ~ trt + (1 | block) + (1 | plot) + (1 | shoot), d, binomial, control = ctl)
ex$grapes_crossed <- list(logLik = as.numeric(logLik(m)), fixef = fixef(m), se = sqrt(diag(as.matrix(vcov(m)))),
  sd = sapply(VarCorr(m), function(v) sqrt(v[1, 1])))

# Seeds (Crowder 1978): ordinary logit model and 60-point adaptive quadrature over plates.
d <- rd("crowder.seeds")
d$gen <- relevel(d$gen, "O75"); d$extract <- relevel(d$extract, "bean")
g <- glm(cbind(germ, n - germ) ~ gen * extract, binomial, d)
ex$seeds_glm <- list(coef = coef(g), se = sqrt(diag(vcov(g))), logLik = as.numeric(logLik(g)), pearson = sum(residuals(g, "pearson")^2))
q <- glmer(cbind(germ, n - germ) ~ gen * extract + (1 | plate), d, binomial, nAGQ = 60, control = ctl)
ex$seeds_agq60 <- list(fixef = fixef(q), se = sqrt(diag(as.matrix(vcov(q)))), sd = getME(q, "theta")[[1]])

# Conditional modes, asked for before anything else touches the fit.
d <- rd("cbpp")
m <- glmer(cbind(incidence, size - incidence) ~ period + (1 | herd), d, binomial, control = ctl)
ex$cbpp_modes <- ranef(m)$herd[as.character(1:15), 1]
save_case("mixed", c("inputs/leaf_4x4x6.csv", "inputs/hughes.grapes.csv", "inputs/crowder.seeds.csv", "inputs/cbpp.csv"),
  "lme4::glmer, tolPwrss = 1e-13; see R/mixed.R", ex, list(default = list(rel = 2e-4, abs = 2e-4)))
