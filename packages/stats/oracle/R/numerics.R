# Distribution functions at the points that k_numerics.json names: R's own, lower tail. The studentised
# range is not R's ptukey (24 % off in its far tail) but the double integral itself, in Gauss-Legendre panels.
source(file.path(dirname(sub("--file=", "", grep("--file=", commandArgs(), value = TRUE))), "lib.R"))
committed <- readLines(file.path(here, "..", "k_numerics.json"))

# The points stand in lines of their own, name and arguments; no JSON package is needed to read them.
named <- grep('"fn":', committed)
fn <- sub('.*"fn":"([^"]*)".*', "\\1", committed[named])
args <- sub('.*"args":"([^"]*)".*', "\\1", committed[named + 1])
beta_binomial <- function(y, n, a, b) exp(lchoose(n, y) + lbeta(y + a, n - y + b) - lbeta(a, b))
others <- list(`pt_noncentral(x,df,ncp)` = pt, `pf_noncentral(x,df1,df2,ncp)` = pf, `dbetabinom(y,n,alpha,beta)` = beta_binomial)
value_at <- function(fn, args) {
  f <- if (is.null(others[[fn]])) match.fun(fn) else others[[fn]]
  do.call(f, as.list(as.numeric(strsplit(args, ",")[[1]])))
}
points <- data.frame(fn = fn, args = args, value = mapply(value_at, fn, args, USE.NAMES = FALSE))

# Nodes and weights of Gauss-Legendre on [-1, 1] (Golub and Welsch 1969), repeated over equal panels.
gauss_legendre <- function(n) {
  i <- 1:(n - 1)
  J <- matrix(0, n, n)
  J[cbind(i, i + 1)] <- J[cbind(i + 1, i)] <- i / sqrt(4 * i^2 - 1)
  e <- eigen(J, symmetric = TRUE)
  list(x = e$values, w = 2 * e$vectors[1, ]^2)
}
rule <- gauss_legendre(24)
panels <- function(lo, hi, n) {
  h <- (hi - lo) / n / 2
  middle <- lo + h * (2 * seq_len(n) - 1)
  list(x = c(outer(h * rule$x, middle, "+")), w = rep(h * rule$w, n))
}

# P(range of k normals > w) = k int phi(z) (1 - (1 - Q(z, z + w))^(k-1)) dz, z the smallest of them:
# a sum of positive terms, so the far tail keeps its digits.
range_upper <- function(w, k) {
  g <- panels(-9 - w, 9, ceiling((18 + w) / 1.5))
  below <- pnorm(g$x + w, lower.tail = FALSE)
  above <- pnorm(g$x, lower.tail = FALSE)
  # All k - 1 others above z; of these, not all below z + w.
  sum(g$w * k * dnorm(g$x) * -above^(k - 1) * expm1((k - 1) * log1p(-below / above)))
}

# Over s / sigma; in the far tail the mass lies at small s, so panels are even in log s.
studentised_upper <- function(q, k, df) {
  g <- panels(log(1e-7), log(sqrt(qchisq(1e-25, df, lower.tail = FALSE) / df)), 60)
  s <- exp(g$x)
  density <- exp(log(2) + (df / 2) * log(df / 2) - lgamma(df / 2) + df * log(s) - df * s^2 / 2)
  sum(g$w * density * vapply(q * s, range_upper, 0, k = k))
}

ranged <- grep('"q":', committed)
number <- function(key, at) as.numeric(sub(paste0('.*"', key, '":([^,}]*).*'), "\\1", committed[at]))
range_rows <- data.frame(q = number("q", ranged), nmeans = number("nmeans", ranged + 1), df = number("df", ranged + 2))
range_rows$upper <- mapply(studentised_upper, range_rows$q, range_rows$nmeans, range_rows$df)

power_of <- function(groups, n, between) {
  list(groups = groups, n = n, power = power.anova.test(groups = groups, n = n, between.var = between, within.var = 1)$power)
}
save_case("k_numerics", character(0), "base R d/p/q functions (lower tail); studentised range by 24-point Gauss-Legendre panels",
  list(points = points, studentized_range_upper = range_rows, power_anova = list(power_of(4, 4, .5), power_of(6, 6, .4), power_of(3, 10, .3))),
  list(default = list(rel = 1e-10)), "arguments are comma-separated, in the order of R's function")
