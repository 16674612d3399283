# Comparisons with a control off product structure: covariates, lost plots, incomplete blocks, and
# correlations drawn at random: dunnett-general.json.
source(file.path(dirname(sub("--file=", "", grep("--file=", commandArgs(), value = TRUE))), "lib.R"))
library(mvtnorm)
set.seed(20261125)

# Covariance, in units of the error variance, of treatment minus the first one; plots to each treatment.
design <- function(d, formula) {
  m <- lm(update(formula, y ~ trt + .), cbind(d, y = seq_len(nrow(d))^2 %% 17))
  at <- grep("^trt", names(coef(m)))
  v <- summary(m)$cov.unscaled[at, at]
  list(v = unname(v), r = unname(as.vector(table(d$trt))[-1]), df = df.residual(m))
}

correlation <- function(v) {
  s <- 1 / sqrt(diag(v))
  r <- v * outer(s, s)
  r <- (r + t(r)) / 2
  diag(r) <- 1
  r
}

# By the grid: v - diag(1/r) is the control, the covariates and what is lost; its few factors and the
# scale are integrated by the trapezoidal rule, no randomness.
by_grid <- function(g, t) {
  e <- eigen(g$v - diag(1 / g$r), symmetric = TRUE)
  stopifnot(min(e$values) > -1e-10)
  k <- sum(e$values > 1e-10)
  stopifnot(k <= 4)
  sd <- sqrt(diag(g$v))
  loadings <- e$vectors[, seq_len(k), drop = FALSE] %*% diag(sqrt(e$values[seq_len(k)]), k) / sd
  spread <- 1 / sqrt(g$r) / sd
  step <- if (k <= 2) 0.25 else 0.4
  z <- seq(-8, 8, by = step)
  points <- as.matrix(expand.grid(rep(list(z), k)))
  w <- step^k * exp(rowSums(dnorm(points, log = TRUE)))
  points <- points[w > 1e-14, , drop = FALSE]
  w <- w[w > 1e-14]
  mean <- points %*% t(loadings)
  u <- seq(-4, 1.5, by = 0.07)
  log_density <- log(2) + g$df / 2 * log(g$df / 2) - lgamma(g$df / 2) + g$df * u - g$df / 2 * exp(2 * u)
  sum(vapply(which(log_density > -34), function(j) {
    inside <- rep(1, length(w))
    for (i in seq_along(spread)) {
      x <- t * exp(u[j])
      inside <- inside * (pnorm((x - mean[, i]) / spread[i]) - pnorm((-x - mean[, i]) / spread[i]))
    }
    0.07 * exp(log_density[j]) * sum(w * (1 - inside))
  }, 0))
}

by_pmvt <- function(r, df, t, points = 1e6) {
  p <- pmvt(rep(-t, nrow(r)), rep(t, nrow(r)), df = df, corr = r,
    algorithm = GenzBretz(maxpts = points, abseps = 1e-7, releps = 0))
  list(p = 1 - as.numeric(p), error = attr(p, "error"))
}

at <- c(1, 2.5, 4)
case <- function(name, g, grid) {
  r <- correlation(g$v)
  asked <- list(name = name, corr = r, df = g$df, t = I(at))
  if (grid) return(c(asked, list(p_grid = I(vapply(at, function(t) by_grid(g, t), 0)))))
  simulated <- lapply(at, function(t) by_pmvt(r, g$df, t))
  c(asked, list(p_pmvt = I(vapply(simulated, function(s) s$p, 0)),
    error_pmvt = I(vapply(simulated, function(s) s$error, 0))))
}

mungbean <- read.csv(file.path(here, "..", "..", "..", "..", "data", "open", "mungbean-fungicide-timing.csv"), check.names = FALSE)
mungbean <- data.frame(trt = relevel(factor(mungbean$treatment), "control"), block = factor(mungbean$block),
  base = mungbean[["2015-03-16"]])
six <- expand.grid(trt = factor(LETTERS[1:6]), block = factor(1:5))
six$base <- round(10 * sin(1.7 * seq_len(nrow(six))) + as.integer(six$trt), 2)
missing <- read_input("rcbd_6x5_missing")
twenty <- expand.grid(trt = factor(sprintf("T%02d", 1:20)), block = factor(1:4))
twenty$base <- round(10 * sin(1.7 * seq_len(nrow(twenty))), 2)
lost <- c(2, 27, 50, 71, 75)
# Control and seven of nineteen treatments in each of fifteen blocks.
incomplete <- do.call(rbind, lapply(1:15, function(b) {
  data.frame(block = b, trt = c(0, 1 + (7 * (b - 1) + c(0, 1, 3, 4, 8, 13, 15)) %% 19))
}))
incomplete <- data.frame(block = factor(incomplete$block), trt = factor(incomplete$trt))

random <- lapply(3:8, function(m) {
  a <- matrix(rnorm(m * (m + 2)), m)
  r <- correlation(a %*% t(a))
  few <- c(1.5, 2.5)
  simulated <- lapply(few, function(t) by_pmvt(r, 12, t))
  # With five, Miwa's grid is still 4e-4 off its own answer at twice the steps.
  miwa <- if (m <= 4) I(vapply(few, function(t) {
    1 - as.numeric(pmvnorm(rep(-t, m), rep(t, m), corr = r, algorithm = Miwa(steps = 256)))
  }, 0))
  list(corr = r, df = 12, t = I(few), p_miwa_normal = miwa, p_pmvt = I(vapply(simulated, function(s) s$p, 0)),
    error_pmvt = I(vapply(simulated, function(s) s$error, 0)))
})

save_case("dunnett-general",
  c("data/open/mungbean-fungicide-timing.csv", "inputs/ancova_4x5.csv", "inputs/rcbd_6x5_missing.csv"),
  "pmvt, GenzBretz, 1e6 points; pmvnorm, Miwa, 256 steps; grids over the factors",
  list(designs = list(
    case("mungbean, baseline of 16 March", design(mungbean, ~ block + base), TRUE),
    case("ancova_4x5", design(read_input("ancova_4x5"), ~ block + base), TRUE),
    case("six treatments, five blocks, a baseline", design(six, ~ block + base), TRUE),
    case("rcbd_6x5_missing, two more plots lost", design(missing[-c(9, 17), ], ~ block), TRUE),
    case("twenty treatments, four blocks, a baseline", design(twenty, ~ block + base), TRUE),
    case("twenty treatments, four blocks, five plots lost", design(twenty[-lost, ], ~ block), FALSE),
    case("the same with a baseline", design(twenty[-lost, ], ~ block + base), FALSE),
    case("twenty treatments in fifteen blocks of eight", design(incomplete, ~ block), FALSE)),
    random = random),
  list(default = list(abs = 1e-10), `*/*/p_pmvt` = list(abs = 1e-5), `*/*/error_pmvt` = list(abs = 1e-5)),
  "p_grid by trapezoidal rules, to about 1e-10. p_pmvt within error_pmvt.")
