# Residuals, leverages and studentised residuals of randomised blocks: residuals.json.
source(file.path(dirname(sub("--file=", "", grep("--file=", commandArgs(), value = TRUE))), "lib.R"))
out <- list()
for (name in c("rcbd_4x4_missing", "rcbd_6x5")) {
  d <- read_input(name)
  d <- d[!is.na(d$y), ]
  m <- lm(y ~ block + trt, d)
  out[[name]] <- data.frame(fitted = unname(fitted(m)), residual = unname(residuals(m)),
    leverage = unname(hatvalues(m)), studentised = unname(rstandard(m)))
}
save_case("residuals", c("rcbd_4x4_missing.csv", "rcbd_6x5.csv"),
  "lm(y ~ block + trt); hatvalues; rstandard", out, list(default = list(abs = 1e-10, rel = 1e-9)))
