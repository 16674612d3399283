# Days until something happened: g_surv_*.json.
source(file.path(dirname(sub("--file=", "", grep("--file=", commandArgs(), value = TRUE))), "lib.R"))
suppressPackageStartupMessages(library(survival))

tolerances <- list(default = list(rel = 1e-7, abs = 1e-9))

survival_of <- function(formula, d) {
  s <- summary(survfit(formula, d))
  q <- s$table
  test <- survdiff(formula, d)
  groups <- length(test$n)
  list(km = data.frame(strata = as.character(s$strata), time = s$time, n.risk = s$n.risk, n.event = s$n.event,
      surv = s$surv, se = s$std.err, lo = s$lower, hi = s$upper),
    medians = data.frame(strata = rownames(q), median = q[, "median"], lo = q[, "0.95LCL"], hi = q[, "0.95UCL"],
      rmean = q[, "rmean"], se_rmean = q[, "se(rmean)"]),
    logrank = list(chisq = test$chisq, df = groups - 1, p = pchisq(test$chisq, groups - 1, lower.tail = FALSE),
      obs = I(test$obs), exp = I(test$exp)),
    peto_rho1 = survdiff(formula, d, rho = 1)$chisq)
}

d <- read_input("aml")
d$x <- factor(d$x, levels = c("Maintained", "Nonmaintained"))
save_case("g_surv_aml", "inputs/aml.csv", "survfit(Surv(time,status)~x); survdiff", survival_of(Surv(time, status) ~ x, d),
  tolerances, "intervals of log type, R's default")

d <- read_input("survival_3x4x8")
within_blocks <- survdiff(Surv(time, status) ~ trt + strata(block), d)
save_case("g_surv_blocks", "inputs/survival_3x4x8.csv", "survfit(Surv(time,status)~trt); survdiff, also with strata(block)",
  c(survival_of(Surv(time, status) ~ trt, d), list(logrank_strata = list(chisq = within_blocks$chisq,
    p = pchisq(within_blocks$chisq, 2, lower.tail = FALSE)))), tolerances, "intervals of log type, R's default")
