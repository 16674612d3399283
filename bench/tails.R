# Times R on the tails that bench/tails.ts times, and gives its answers.
# Usage: Rscript tails.R POINTS, where POINTS has lines "q k df" for ptukey and "t comparisons df" for pmvt,
# each after its name. Prints "ptukey milliseconds" for all points together, then "value index p", and for
# pmvt "pmvt index milliseconds error". Median processor times of five runs (pmvt: three, of up to a million points).
points <- read.table(commandArgs(TRUE)[1], col.names = c("what", "x", "k", "df"))
median_ms <- function(f, runs) {
  f()
  1000 * median(sapply(seq_len(runs), function(i) { before <- proc.time(); f(); sum((proc.time() - before)[1:2]) }))
}
range <- points[points$what == "ptukey", ]
upper <- function() ptukey(range$x, range$k, range$df, lower.tail = FALSE)
cat("ptukey", median_ms(function() for (i in 1:50) upper(), 5) / 50, "\n")
values <- upper()
for (i in seq_along(values)) cat("value", i - 1, sprintf("%.17g", values[i]), "\n")
if (requireNamespace("mvtnorm", quietly = TRUE)) {
  versus <- points[points$what == "pmvt", ]
  rule <- mvtnorm::GenzBretz(maxpts = 1e6, abseps = 1e-8, releps = 0)
  for (i in seq_len(nrow(versus))) {
    p <- versus[i, ]
    R <- matrix(.5, p$k, p$k) + diag(.5, p$k)
    set.seed(1)
    inside <- function() mvtnorm::pmvt(rep(-p$x, p$k), rep(p$x, p$k), df = p$df, corr = R, algorithm = rule)
    cat("pmvt", i - 1, median_ms(inside, 3), attr(inside(), "error"), "\n")
  }
}
