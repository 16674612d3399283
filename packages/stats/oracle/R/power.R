# How often R's F test sees a difference in simulated trials of 4 treatments in 4 blocks: power.json.
# 72 leaves a plot; log-odds = treatment + block + plot. About ten seconds.
source(file.path(dirname(sub("--file=", "", grep("--file=", commandArgs(), value = TRUE))), "lib.R"))
trial <- function(beta, block, plot, leaves = 72) {
  d <- expand.grid(trt = factor(LETTERS[1:4]), block = factor(1:4))
  eta <- beta[as.integer(d$trt)] + rnorm(4, 0, block)[as.integer(d$block)] + rnorm(16, 0, plot)
  d$share <- rbinom(16, leaves, plogis(eta)) / leaves
  d
}
p_of <- function(d) anova(lm(share ~ block + trt, d))[["Pr(>F)"]][2]
scenarios <- list(
  null = list(beta = rep(-1, 4), block = .4, plot = .35),
  moderate = list(beta = c(-.6, -1.2, -1.6, -1), block = .4, plot = .35),
  small = list(beta = c(-.8, -1, -1.2, -.9), block = .4, plot = .35),
  rare = list(beta = c(-3.4, -4.2, -4.8, -3.6), block = .4, plot = .3))
n <- 2000
out <- list()
for (name in names(scenarios)) {
  set.seed(2000 + match(name, names(scenarios)))
  s <- scenarios[[name]]
  p <- quiet(replicate(n, p_of(trial(s$beta, s$block, s$plot))))
  out[[name]] <- c(s, list(trials = n, power = mean(p < .05, na.rm = TRUE)))
}
save_case("power", character(0), "anova(lm(share ~ block + trt)) of 2,000 simulated trials", out,
  list(default = list(abs = 1e-12)))
