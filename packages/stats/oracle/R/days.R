# Days known to lie between two looks, and log-rank tests by draw: days.json.
source(file.path(dirname(sub("--file=", "", grep("--file=", commandArgs(), value = TRUE))), "lib.R"))
suppressPackageStartupMessages({ library(survival); library(coin); library(ordinal); library(lme4) })
set.seed(20261125)

# Turnbull's curve at the ends of its stretches; R puts the falls in their middles.
curve_of <- function(left, right) {
  s <- survfit(Surv(left, right, type = "interval2") ~ 1, data.frame(left, right))
  data.frame(time = s$time, surv = s$surv)[s$n.event > 1e-6, ]
}
answer <- function(test) list(statistic = as.numeric(statistic(test)), p = as.numeric(pvalue(test)))

d <- read_input("survival_3x4x8")
right <- ifelse(d$status == 1, d$right, NA)
left <- ifelse(d$status == 1, d$left, d$time)
left0 <- ifelse(left == 0, NA, left)
weekly <- lapply(split(seq_len(nrow(d)), d$trt), function(i) curve_of(left0[i], right[i]))

# Rounds missed here and there: every third plant was not seen at every other round.
miss <- seq_along(left) %% 3 == 0
wide_left <- ifelse(miss & d$status == 1, pmax(left - 7 * (seq_along(left) %% 2), 0), left)
wide_right <- ifelse(miss & d$status == 1, right + 7 * (seq_along(left) %% 4 == 0), right)
overlapping <- curve_of(ifelse(wide_left == 0, NA, wide_left), wide_right)

# The classes of the grouped model: rounds at which something happened, and not yet.
grades <- factor(ifelse(d$status == 1, d$time, 99))
plot <- factor(paste(d$block, d$trt))
shape <- function(m, k) list(logLik = as.numeric(logLik(m)), coef = as.list(coef(m)[-(1:k)]),
  se = as.list(sqrt(diag(vcov(m)))[names(coef(m)[-(1:k)])]), thresholds = I(unname(coef(m)[1:k])))
k <- nlevels(grades) - 1
plain <- clm(grades ~ trt, data = d, link = "cloglog", control = clm.control(gradTol = 1e-12, maxIter = 200))
# Blocks and plots, Laplace; what clmm says of steps too long on its way is left out, its end is checked below.
two <- quiet(clmm(grades ~ trt + (1 | block) + (1 | plot), data = data.frame(d, plot), link = "cloglog", control = clmm.control(gradTol = 1e-10)))
stopifnot(max(abs(two$gradient)) < 1e-3)
persons <- do.call(rbind, lapply(seq_len(nrow(d)), function(i) {
  n <- d$time[i] / 7
  data.frame(trt = d$trt[i], block = d$block[i], plot = plot[i], t = 1:n, ev = c(rep(0, n - 1), d$status[i]))
}))
persons <- persons[persons$t %in% unique(persons$t[persons$ev == 1]), ]
glm_of <- function(formula) {
  m <- glm(formula, binomial("cloglog"), persons, control = list(epsilon = 1e-14, maxit = 100))
  at <- grep("trt", names(coef(m)))
  list(logLik = as.numeric(logLik(m)), coef = as.list(coef(m)[at]), se = as.list(sqrt(diag(vcov(m)))[at]), n = nrow(persons))
}

# Random plots: the integral itself (25 points), so that it does not matter how R centres its points.
glmer_of <- function(points) {
  m <- glmer(ev ~ factor(t) + trt + (1 | plot), persons, binomial("cloglog"), nAGQ = points,
    control = glmerControl(optimizer = "bobyqa", tolPwrss = 1e-12, optCtrl = list(maxfun = 1e5, rhoend = 1e-9)))
  at <- grep("trt", names(fixef(m)))
  list(logLik = as.numeric(logLik(m)), coef = as.list(fixef(m)[at]), se = as.list(sqrt(diag(vcov(m)))[at]), sd = sqrt(as.numeric(VarCorr(m)$plot)))
}

# Mantel's scores within blocks, added up by plot, and the plots' labels drawn again within blocks.
scores <- ave(seq_len(nrow(d)), d$block, FUN = function(i) {
  s <- survfit(Surv(d$time[i], d$status[i]) ~ 1)
  d$status[i] - stepfun(s$time, c(0, cumsum(s$n.event / s$n.risk)))(d$time[i])
})
plots <- aggregate(scores ~ block + trt, data.frame(d, scores), sum)
draws <- 200000
by_draw <- independence_test(scores ~ trt | block, plots, teststat = "quadratic", distribution = approximate(nresample = draws))

save_case("days", c("inputs/survival_3x4x8.csv"),
  "survfit interval2; clm and clmm with cloglog link; glm and glmer (nAGQ = 25) cloglog on person-intervals; coin independence_test of summed log-rank scores | block",
  list(weekly = weekly, overlapping = list(left = I(wide_left), right = I(ifelse(is.na(wide_right), -1, wide_right)), curve = overlapping),
    clm_cloglog = list(logLik = as.numeric(logLik(plain)), coef = as.list(coef(plain)[-(1:k)]), thresholds = I(unname(coef(plain)[1:k]))),
    clmm_block_plot = list(logLik = as.numeric(logLik(two)), coef = as.list(coef(two)[-(1:k)]), se = as.list(sqrt(diag(vcov(two)))[names(coef(two)[-(1:k)])]),
      sd = list(block = sqrt(as.numeric(VarCorr(two)$block)), plot = sqrt(as.numeric(VarCorr(two)$plot)))),
    glm_person_intervals = glm_of(ev ~ factor(t) + trt), glm_person_intervals_blocks = glm_of(ev ~ factor(t) + block + trt),
    glmer_plots = glmer_of(25),
    plot_scores = plots, by_draw = list(statistic = as.numeric(statistic(by_draw)), p = as.numeric(pvalue(by_draw))), draws = draws),
  list(default = list(rel = 1e-6, abs = 1e-8), clmm_block_plot = list(rel = 1e-3, abs = 1e-4), glmer_plots = list(rel = 1e-3, abs = 1e-4), "by_draw/p" = list(abs = 0.002)),
  "overlapping: right -1 is not yet; clm's coefficients have the opposite sign of hazards; survfit stops when a step is below 5e-5")
