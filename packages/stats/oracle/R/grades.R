# Whether treatments shift all thresholds alike: grades.json.
source(file.path(dirname(sub("--file=", "", grep("--file=", commandArgs(), value = TRUE))), "lib.R"))
suppressPackageStartupMessages(library(ordinal))

check_of <- function(grade, treatment) {
  d <- data.frame(grade = factor(grade), treatment)
  shifted <- clm(grade ~ treatment, data = d)
  free <- clm(grade ~ 1, nominal = ~ treatment, data = d)
  ratio <- 2 * as.numeric(logLik(free) - logLik(shifted))
  df <- attr(logLik(free), "df") - attr(logLik(shifted), "df")
  list(statistic = ratio, df = df, p = pchisq(ratio, df, lower.tail = FALSE), shifted = as.numeric(logLik(shifted)))
}

d <- read_input("ordinal_4x5x5")
w <- read_input("wine")
save_case("grades", c("inputs/ordinal_4x5x5.csv", "inputs/wine.csv"), "clm(grade ~ 1, nominal = ~treatment) against clm(grade ~ treatment)",
  list(plants = check_of(d$score, d$trt), wine = check_of(w$rating, w$temp)),
  list(default = list(rel = 1e-6)))
