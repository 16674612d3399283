# Bounds for several looks at a normal statistic, two-sided: i_group_sequential.json. Recursion of Armitage,
# McPherson & Rowe 1969 by Gauss-Legendre with 200 points at each look; mvtnorm's pmvnorm as a check.
source(file.path(dirname(sub("--file=", "", grep("--file=", commandArgs(), value = TRUE))), "lib.R"))
suppressPackageStartupMessages(library(mvtnorm))

# Nodes and weights by Golub & Welsch 1969.
gauss <- local({
  n <- 200
  i <- 1:(n - 1)
  b <- i / sqrt(4 * i^2 - 1)
  J <- matrix(0, n, n)
  J[cbind(i, i + 1)] <- b
  J[cbind(i + 1, i)] <- b
  e <- eigen(J, symmetric = TRUE)
  list(x = e$values, w = 2 * e$vectors[1, ]^2)
})

# Chance of crossing at each look, above and below: bounds +-b for Z, information t, drift mu of S(t) = sqrt(t) Z.
cross <- function(b, t, mu = 0) {
  K <- length(b)
  up <- down <- numeric(K)
  s <- sqrt(t)
  up[1] <- pnorm(b[1] - mu * s[1], lower.tail = FALSE)
  down[1] <- pnorm(-b[1] - mu * s[1])
  at <- function(k) list(x = b[k] * s[k] * gauss$x, w = b[k] * s[k] * gauss$w)
  g <- at(1)
  f <- dnorm(g$x, mu * t[1], s[1])
  if (K > 1) for (k in 2:K) {
    sd <- sqrt(t[k] - t[k - 1])
    m <- g$x + mu * (t[k] - t[k - 1])
    up[k] <- sum(g$w * f * pnorm((b[k] * s[k] - m) / sd, lower.tail = FALSE))
    down[k] <- sum(g$w * f * pnorm((-b[k] * s[k] - m) / sd))
    if (k < K) {
      h <- at(k)
      f <- colSums(g$w * f * outer(m, h$x, function(from, to) dnorm(to, from, sd)))
      g <- h
    }
  }
  list(up = up, down = down)
}

wang_tsiatis <- function(K, delta, alpha) {
  t <- (1:K) / K
  z <- function(C) C * t^(delta - .5)
  C <- uniroot(function(C) sum(unlist(cross(z(C), t))) - alpha, c(1, 6), tol = 1e-13)$root
  list(C = C, z = z(C), nominal_p = 2 * pnorm(-z(C)))
}

spent <- function(t, alpha, type) switch(type,
  OF = pmin(alpha, 4 * (1 - pnorm(qnorm(1 - alpha / 4) / sqrt(t)))),
  PO = alpha * log(1 + (exp(1) - 1) * t),
  KD2 = alpha * t^2)

lan_demets <- function(t, alpha, type) {
  A <- spent(t, alpha, type)
  b <- numeric(0)
  for (k in seq_along(t)) {
    new <- A[k] - if (k > 1) A[k - 1] else 0
    excess <- function(z) {
      r <- cross(c(b, z), t[1:k])
      r$up[k] + r$down[k] - new
    }
    b <- c(b, if (k == 1) qnorm(new / 2, lower.tail = FALSE) else uniroot(excess, c(.5, 12), tol = 1e-12)$root)
  }
  list(t = I(t), z = I(b), cum_alpha = I(A))
}

bounds <- list()
for (K in 2:6) for (alpha in c(.05, .01, .1)) {
  t <- (1:K) / K
  bounds[[paste0("K", K, "_a", alpha)]] <- list(OBF = wang_tsiatis(K, 0, alpha), Pocock = wang_tsiatis(K, .5, alpha),
    WT25 = wang_tsiatis(K, .25, alpha), LD_OF = lan_demets(t, alpha, "OF"), LD_Pocock = lan_demets(t, alpha, "PO"),
    LD_power2 = lan_demets(t, alpha, "KD2"))
}
uneven <- list(t_uneven_OF = lan_demets(c(.2, .45, .6, .9, 1), .05, "OF"), t_uneven_PO = lan_demets(c(.3, .5, .8, 1), .05, "PO"))

total_by_pmvnorm <- sapply(2:6, function(K) {
  z <- bounds[[paste0("K", K, "_a0.05")]]$OBF$z
  R <- outer(1:K, 1:K, function(i, j) sqrt(pmin(i, j) / pmax(i, j)))
  set.seed(1)
  1 - pmvnorm(-z, z, corr = R, algorithm = if (K <= 4) Miwa(512) else GenzBretz(4e5, 1e-8, 0))[1]
})

t <- (1:4) / 4
with_drift <- lapply(c(0, 1, 2, 2.5, 3, 3.5), function(mu) {
  r <- cross(bounds$K4_a0.05$OBF$z, t, mu)
  early <- sum((r$up + r$down)[1:3])
  list(drift = mu, up = I(r$up), down = I(r$down), power = sum(r$up) + sum(r$down),
    expected_info = sum((r$up + r$down)[1:3] * t[1:3]) + (1 - early))
})

save_case("i_group_sequential", character(0), "recursive numerical integration (200-pt Gauss-Legendre) + mvtnorm::pmvnorm check; two-sided",
  list(bounds = bounds, uneven = uneven, mvtnorm_check_alpha_OBF_05 = I(total_by_pmvnorm), operating_OBF_K4_05 = with_drift),
  list(default = list(abs = 1e-7), mvtnorm_check_alpha_OBF_05 = list(abs = 1e-4)),
  "OBF z_k=C*sqrt(K/k); Wang-Tsiatis delta 0/.5/.25; LD_OF spend 4(1-Phi(z_{a/4}/sqrt t)) two-sided")
