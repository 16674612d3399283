# Linear mixed models by REML and ML, Kenward-Roger and Satterthwaite: reml.json. Takes half a minute.
source(file.path(dirname(sub("--file=", "", grep("--file=", commandArgs(), value = TRUE))), "lib.R"))
suppressPackageStartupMessages({ library(lme4); library(lmerTest); library(pbkrtest); library(nlme); library(glmmTMB); library(emmeans) })
emm_options(opt.digits = FALSE, pbkrtest.limit = 1e4, lmerTest.limit = 1e4)
tight <- lmerControl(optimizer = "bobyqa", optCtrl = list(rhoend = 1e-12, maxfun = 1e5), check.conv.singular = "ignore")
out <- list()

anova_rows <- function(m, ddf) {
  a <- as.data.frame(anova(m, type = 1, ddf = ddf))
  data.frame(term = rownames(a), df = a$NumDF, den = a$DenDF, f = a[["F value"]], p = a[["Pr(>F)"]])
}
sides <- function(m, spec, mode) {
  e <- emmeans(m, spec, lmer.df = mode)
  list(means = plain(e), pairs = plain(summary(pairs(e), adjust = "none")))
}
lmer_case <- function(formula, d, spec) {
  m <- quiet(lmer(formula, d, control = tight)); ml <- quiet(update(m, REML = FALSE))
  v <- as.data.frame(VarCorr(m))
  list(logLik = c(logLik(m)), ml = c(logLik(ml)), variances = setNames(as.list(v$vcov), v$grp),
    kr = anova_rows(m, "Kenward-Roger"), satterthwaite = anova_rows(m, "Satterthwaite"),
    sides_kr = sides(m, spec, "kenward-roger"), sides_sat = sides(m, spec, "satterthwaite"))
}

oats <- read.csv(input_file("oats"), stringsAsFactors = TRUE)
oats$VN <- factor(paste(oats$V, oats$N)); oats$W <- factor(paste(oats$B, oats$V))
out$oats <- lmer_case(Y ~ V * N + (1 | B) + (1 | W), oats, "N")
out$oats_cells <- lmer_case(Y ~ B + VN + (1 | W), oats, "VN")
s <- summary(aov(Y ~ B + V * N + Error(W), oats))
strata <- function(x) { a <- x[[1]]; data.frame(term = trimws(rownames(a)), df = a$Df, ss = a[["Sum Sq"]], f = a[["F value"]], p = a[["Pr(>F)"]]) }
out$oats_strata <- list(whole = strata(s[[1]]), within = strata(s[[2]]))
# The same with plots lost: rows 5, 17, 40, 41 and 66 of the file.
lost <- oats[-c(5, 17, 40, 41, 66), ]
out$oats_lost <- lmer_case(Y ~ B + V * N + (1 | W), lost, "N")
out$oats_lost_cells <- lmer_case(Y ~ VN + (1 | B) + (1 | W), lost, "VN")

# A made-up baseline: 7 times the row, modulo 13.
oats$base <- (7 * seq_len(nrow(oats))) %% 13
out$oats_baseline <- lmer_case(Y ~ B + base + VN + (1 | W), oats, "VN")
out$oats_baseline$slope <- unname(fixef(lmer(Y ~ B + base + VN + (1 | W), oats, control = tight))["base"])

# Eight treatments in blocks of four: the three-way interaction is confounded with blocks (Yates 1937).
npk <- read.csv(input_file("npk")); names(npk) <- tolower(names(npk))
npk$block <- factor(npk$block); npk$trt <- factor(paste0(npk$n, npk$p, npk$k))
out$npk <- lmer_case(yield ~ trt + (1 | block), npk, "trt")
npk$base <- (7 * seq_len(nrow(npk))) %% 13
out$npk_baseline <- lmer_case(yield ~ base + trt + (1 | block), npk, "trt")
d <- read_input("rcbd_6x5_missing"); d <- d[!is.na(d$y), ]
out$rcbd_lost <- lmer_case(y ~ trt + (1 | block), d, "trt")
d <- read.csv(input_file("goulden.latin")); d$row <- factor(d$row); d$col <- factor(d$col); d$trt <- factor(d$trt)
out$latin <- lmer_case(yield ~ trt + (1 | row) + (1 | col), d, "trt")

# Powdery mildew of mungbean: five dates 14, 8, 7 and 7 days apart, thirty plots.
wide <- read.csv(file.path(here, "..", "..", "..", "..", "data", "open", "mungbean-fungicide-timing.csv"), check.names = FALSE)
dates <- grep("^20", names(wide), value = TRUE)
m <- do.call(rbind, lapply(seq_along(dates), function(i) data.frame(plot = wide$plot, block = wide$block,
  trt = wide$treatment, round = i, day = as.numeric(as.Date(dates[i]) - as.Date(dates[1])), y = wide[[dates[i]]])))
m$plot <- factor(m$plot); m$block <- factor(m$block); m$trt <- factor(m$trt); m$r <- factor(m$round)
fit_gls <- function(form, reml = "REML") gls(y ~ block + trt * r, m, correlation = form, method = reml, control = glsControl(tolerance = 1e-12, msTol = 1e-12, returnObject = TRUE))
fit_lme <- function(form) lme(y ~ block + trt * r, random = ~ 1 | plot, m, correlation = form, control = lmeControl(tolerance = 1e-12, msTol = 1e-12, opt = "optim", reltol = 1e-14, returnObject = TRUE))
rho_of <- function(x) unname(coef(x$modelStruct$corStruct, unconstrained = FALSE))
serial <- function(x) list(logLik = c(logLik(x)), rho = rho_of(x), sigma2 = x$sigma^2)
ar <- fit_gls(corAR1(form = ~ round | plot)); car <- fit_gls(corCAR1(form = ~ day | plot))
l_ar <- fit_lme(corAR1(form = ~ round | plot)); l_car <- fit_lme(corCAR1(form = ~ day | plot))
plot_var <- function(x) as.numeric(VarCorr(x)[1, 1])
means <- function(x) plain(emmeans(x, "trt", mode = "asymptotic", data = m))
# The first date is alike in all plots; the four after it alone.
full <- m; m <- droplevels(subset(full, round > 1)); late <- fit_gls(corCAR1(form = ~ day | plot))
late <- c(serial(late), list(means = quiet(means(late)))); m <- full
m$s2 <- (1 + m$round / 4)^2
uneven <- gls(y ~ block + trt * r, m, correlation = corAR1(form = ~ round | plot), weights = varFixed(~ s2), method = "REML")
tmb <- quiet(glmmTMB(y ~ block + trt * r + ar1(r + 0 | plot), dispformula = ~ 0, REML = TRUE, data = m))
out$mungbean <- list(
  ar = c(serial(ar), list(ml = c(logLik(fit_gls(corAR1(form = ~ round | plot), "ML"))), means = quiet(means(ar)))),
  car = c(serial(car), list(means = quiet(means(car)))),
  uneven = serial(uneven), late = late,
  plot_ar = c(serial(l_ar), list(plot = plot_var(l_ar))), plot_car = c(serial(l_car), list(plot = plot_var(l_car))),
  glmmTMB = list(logLik = c(logLik(tmb)), rho = attr(VarCorr(tmb)$cond$plot, "correlation")[1, 2], sigma2 = VarCorr(tmb)$cond$plot[1, 1]))
# Satterthwaite by the observed information of the same likelihood, from gls at fixed parameters:
# covariance of treatment means by numerical derivatives, as Giesbrecht & Burns 1985 have it.
minus <- function(par) { # par: log sigma2, atanh rho
  R <- outer(dates_i <- 1:5, 1:5, function(a, b) tanh(par[2])^abs(a - b)); V <- kronecker(diag(30), R) * exp(par[1])
  X <- model.matrix(~ block + trt * r, o); W <- solve(V); A <- t(X) %*% W %*% X; b <- solve(A, t(X) %*% W %*% o$y); e <- o$y - X %*% b
  0.5 * (as.numeric(determinant(V)$modulus) + as.numeric(determinant(A)$modulus) + sum(e * (W %*% e)))
}
o <- m[order(m$plot, m$round), ]
cov_of <- function(par) {
  V <- kronecker(diag(30), outer(1:5, 1:5, function(a, b) tanh(par[2])^abs(a - b))) * exp(par[1])
  X <- model.matrix(~ block + trt * r, o); solve(t(X) %*% solve(V) %*% X)
}
top <- optim(c(log(ar$sigma^2), atanh(rho_of(ar))), minus, method = "BFGS", control = list(reltol = 1e-15))
richardson <- function(f, x, h = 1e-3) (8 * (f(x + h) - f(x - h)) - (f(x + 2 * h) - f(x - 2 * h))) / (12 * h)
gradient <- function(f, at) sapply(seq_along(at), function(i) richardson(function(v) { a <- at; a[i] <- v; f(a) }, at[i]))
hessian <- sapply(1:2, function(i) richardson(function(v) { a <- top$par; a[i] <- v; gradient(minus, a) }, top$par[i]))
L <- contrast(emmeans(ar, "trt", mode = "asymptotic", data = m), "pairwise")@linfct[1, ]
g <- gradient(function(par) c(t(L) %*% cov_of(par) %*% L), top$par); v <- c(t(L) %*% cov_of(top$par) %*% L)
out$mungbean$satterthwaite <- list(logLik = -top$value - 0.5 * (150 - 34) * log(2 * pi), df = 2 * v^2 / c(g %*% solve(hessian, g)), se = sqrt(v))

save_case("reml", c(paste0("inputs/", c("oats", "npk", "rcbd_6x5_missing", "goulden.latin"), ".csv"), "data/open/mungbean-fungicide-timing.csv"),
  "lmer, lmerTest::anova, emmeans, gls, lme, glmmTMB; see R/reml.R", out,
  list(default = list(rel = 1e-4, abs = 1e-5)))
