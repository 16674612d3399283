# Linear models, comparisons and ratios on open data: linear.json. Takes a minute or two, for 3e6 points.
source(file.path(dirname(sub("--file=", "", grep("--file=", commandArgs(), value = TRUE))), "lib.R"))
suppressPackageStartupMessages({ library(emmeans); library(mvtnorm) })
emm_options(opt.digits = FALSE)
aov_rows <- function(m) {
  a <- anova(m)
  data.frame(term = rownames(a), df = a$Df, ss = a[["Sum Sq"]], f = a[["F value"]], p = a[["Pr(>F)"]])
}
means <- function(m, spec) plain(emmeans(m, spec))
out <- list()

d <- read.csv(input_file("goulden.latin")); d$row <- factor(d$row); d$col <- factor(d$col)
out$goulden_latin <- list(anova = aov_rows(lm(yield ~ row + col + trt, d)))

d <- read.csv(input_file("orchard-sprays")); d$r <- factor(d$rowpos); d$k <- factor(d$colpos)
m <- lm(decrease ~ r + k + treatment, d)
out$orchard_sprays <- list(anova = aov_rows(m), means = means(m, "treatment"))

d <- read.csv(input_file("hughes.grapes"))
d <- aggregate(cbind(diseased, total) ~ block + trt, d, sum); d$percent <- 100 * d$diseased / d$total
m <- lm(percent ~ block + trt, d)
out$hughes_grapes <- list(anova = aov_rows(m), means = means(m, "trt"))

d <- read.csv(input_file("cochran.eelworms"))
d$trt <- factor(ifelse(d$fumigant == "Con", "Con", paste0(d$fumigant, d$dose)))
d$base <- log(d$initial); d$y <- log(d$final)
m <- lm(y ~ block + base + trt, d)
out$cochran_eelworms <- list(levels = I(levels(d$trt)), anova = aov_rows(m),
  slope = unname(coef(m)["base"]), slope_se = coef(summary(m))["base", 2], means = means(m, "trt"),
  block_adjusted_f = anova(lm(y ~ base + trt, d), m)$F[2],
  base_adjusted_f = anova(lm(y ~ block + trt, d), m)$F[2])

d <- read.csv(input_file("insect-sprays"))
out$insect_sprays <- list(anova = aov_rows(lm(count ~ spray, d)),
  anova_root = aov_rows(lm(sqrt(count) ~ spray, d)),
  kruskal = unname(kruskal.test(count ~ spray, d)$statistic),
  kruskal_p = kruskal.test(count ~ spray, d)$p.value)

d <- read.csv(input_file("plant-growth")); m <- lm(weight ~ group, d)
out$plant_growth <- list(anova = aov_rows(m),
  tukey = plain(summary(pairs(emmeans(m, "group")), infer = TRUE)),
  kruskal = unname(kruskal.test(weight ~ group, d)$statistic),
  kruskal_p = kruskal.test(weight ~ group, d)$p.value)

d <- read.csv(input_file("gomez.seedrate")); d$rate <- factor(d$rate)
out$gomez_seedrate <- list(anova = aov_rows(lm(yield ~ rep + rate, d)))

# Dunnett (1955): the order of levels puts the control first.
d <- data.frame(y = c(7.40, 8.50, 7.20, 8.24, 9.84, 8.32, 9.76, 8.80, 7.68, 9.36, 12.80, 9.68, 12.16, 9.20, 10.55),
  g = factor(rep(c("control", "A", "B"), c(6, 4, 5)), levels = c("control", "A", "B")))
m <- lm(y ~ g, d); R <- cov2cor(vcov(m)[2:3, 2:3]); t <- unname(coef(summary(m))[2:3, 3])
# P(max |T| <= t) where correlations are products l_i l_j: over the normal they share, then over s/sigma.
lambda <- sqrt(c(4, 5) / (c(4, 5) + 6))
inside <- function(t, s) integrate(function(z) dnorm(z) * sapply(z, function(zz) prod(
  pnorm((t * s + lambda * zz) / sqrt(1 - lambda^2)) - pnorm((-t * s + lambda * zz) / sqrt(1 - lambda^2)))),
  -8.5, 8.5, rel.tol = 1e-10, subdivisions = 400)$value
chi <- function(s, df) exp(log(2) + df / 2 * log(df / 2) - lgamma(df / 2) + (df - 1) * log(s) - df * s^2 / 2)
p_dunnett <- function(t, df) 1 - integrate(function(s) sapply(s, function(x) inside(t, x)) * chi(s, df),
  sqrt(qchisq(1e-16, df) / df), sqrt(qchisq(1e-16, df, lower.tail = FALSE) / df), rel.tol = 1e-10, subdivisions = 400)$value
p <- sapply(abs(t), p_dunnett, df = 12)
q <- uniroot(function(x) p_dunnett(x, 12) - .05, c(2, 3), tol = 1e-10)$root
se <- unname(coef(summary(m))[2:3, 2]); est <- unname(coef(m)[2:3])
out$dunnett_1955 <- list(anova = aov_rows(m), t = I(t), correlation = R[1, 2], p = I(p), quantile = q,
  low = I(est - q * se), high = I(est + q * se))

# Blocks with lost plots: correlations without product structure. cases_a.R finds this quantile with
# mvtnorm's default accuracy, which is 8e-5 off its own quadrature where both exist; here 3e6 points.
out$dunnett_missing <- lapply(c("rcbd_4x4_missing", "rcbd_6x5_missing"), function(f) {
  d <- read.csv(input_file(f)); d$block <- factor(d$block); d$trt <- factor(d$trt); m <- lm(y ~ block + trt, d)
  use <- grep("trt", names(coef(m))); R <- cov2cor(vcov(m)[use, use]); k <- length(use)
  outside <- function(q) { set.seed(1); 1 - pmvt(-rep(q, k), rep(q, k), df = m$df.residual, corr = R,
    algorithm = GenzBretz(3e6, 1e-8, 0))[1] }
  t <- abs(coef(summary(m))[use, 3])
  list(name = f, p = I(unname(sapply(t, outside))),
    quantile = uniroot(function(q) outside(q) - .05, c(2.7, 3.1), tol = 1e-7)$root)
})

# Two halves of a trial that share no treatment: means open, differences within a half known.
d <- data.frame(block = factor(rep(1:4, each = 2)), trt = factor(c("A","B","A","B","C","D","C","D")),
  y = c(12.1, 9.4, 14.0, 10.9, 8.2, 7.7, 9.9, 8.0))
m <- lm(y ~ block + trt, d); e <- emmeans(m, "trt"); pr <- as.data.frame(pairs(e, adjust = "none"))
out$disconnected <- list(rank = m$rank, df = m$df.residual, sigma = summary(m)$sigma,
  estimate = I(pr$estimate), se = I(pr$SE), contrast = I(as.character(pr$contrast)),
  estimable_means = I(!is.na(as.data.frame(e)$emmean)))

# Fieller's interval by root finding on the t test that defines it (not by the closed formula).
fieller_root <- function(n, d, vn, vd, cv, df, lower, upper) {
  g <- function(r) (n - r * d)^2 - qt(.975, df)^2 * (vn - 2 * r * cv + r^2 * vd)
  c(uniroot(g, lower, tol = 1e-14)$root, uniroot(g, upper, tol = 1e-14)$root)
}
out$fieller <- list(
  bounded = I(fieller_root(12, 60, 16, 25, 5, 9, c(-.2, .2), c(.2, .6))),
  exclusive = I(fieller_root(30, 8, 16, 25, 5, 9, c(-20, 0), c(0, 3))))

# Delta interval of the log ratio of adjusted means in the randomised blocks with lost plots.
d <- read.csv(input_file("rcbd_4x4_missing")); d$block <- factor(d$block); m <- lm(y ~ block + trt, d)
e <- emmeans(m, "trt"); V <- vcov(e); q <- as.data.frame(e)$emmean
se <- sapply(2:4, function(i) sqrt(V[i, i] / q[i]^2 + V[1, 1] / q[1]^2 - 2 * V[i, 1] / (q[i] * q[1])))
out$ratio_4x4_missing <- list(covariance = V, ratio = I(q[2:4] / q[1]),
  log_low = I(exp(log(q[2:4] / q[1]) - qt(.975, m$df.residual) * se)),
  log_high = I(exp(log(q[2:4] / q[1]) + qt(.975, m$df.residual) * se)),
  fieller = lapply(2:4, function(i) I(fieller_root(q[i], q[1], V[i, i], V[1, 1], V[i, 1], m$df.residual,
    c(-1, q[i] / q[1]), c(q[i] / q[1], 3)))))

# Henderson-Tilton in the blocks with a baseline: covariances from the two-response linear model.
d <- read.csv(input_file("ancova_4x5")); d$block <- factor(d$block); d$trt <- factor(d$trt)
mm <- lm(cbind(base, y) ~ block + trt, d); S <- crossprod(resid(mm)) / mm$df.residual
L <- linfct <- emmeans(lm(y ~ block + trt, d), "trt")@linfct
X <- model.matrix(mm); U <- L %*% solve(crossprod(X)) %*% t(L); B <- L %*% coef(mm)
ht <- sapply(2:4, function(i) {
  k <- c(i, 1); V <- kronecker(S, U[k, k])
  g <- c(-1 / B[i, 1], 1 / B[1, 1], 1 / B[i, 2], -1 / B[1, 2])
  lr <- log(B[i, 2] * B[1, 1] / (B[i, 1] * B[1, 2])); h <- qt(.975, mm$df.residual) * sqrt(c(g %*% V %*% g))
  100 * (1 - exp(c(lr, lr + h, lr - h)))
})
out$henderson_tilton <- list(percent = I(ht[1, ]), low = I(ht[2, ]), high = I(ht[3, ]))

inputs <- c("goulden.latin", "orchard-sprays", "hughes.grapes", "cochran.eelworms", "insect-sprays", "plant-growth",
  "gomez.seedrate", "rcbd_4x4_missing", "rcbd_6x5_missing", "ancova_4x5")
# pmvt samples; its p-values and the quantile found from them are good to about 1e-6.
save_case("linear", paste0("inputs/", inputs, ".csv"), "lm, anova, emmeans, integrate, uniroot, mvtnorm::pmvt; see R/linear.R", out,
  list(default = list(rel = 1e-8, abs = 1e-10), `plant_growth/tukey/*/p.value` = list(abs = 1e-6),
    `plant_growth/tukey/*/lower.CL` = list(rel = 2e-5), `plant_growth/tukey/*/upper.CL` = list(rel = 2e-5),
    `dunnett_1955/quantile` = list(abs = 1e-7), `dunnett_1955/low` = list(abs = 1e-7), `dunnett_1955/high` = list(abs = 1e-7),
    `dunnett_missing/*/p` = list(abs = 5e-6), `dunnett_missing/*/quantile` = list(abs = 2e-5)))
