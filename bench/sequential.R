# Times R on the 90 designs that bench/sequential.ts times: prints "what milliseconds".
# Bounds by the recursion of Armitage, McPherson & Rowe 1969 (Gauss-Legendre, 200 points a look) and uniroot.
# Processor time, which other programs on the machine do not lengthen.
source_of <- sub("--file=", "", grep("--file=", commandArgs(), value = TRUE))
script <- file.path(dirname(source_of), "..", "packages", "stats", "oracle", "R", "cases_i.R")
# Only the functions of the script that gave the answers; not the answers themselves.
needed <- c("gauss", "cross", "wang_tsiatis", "spent", "lan_demets")
for (expr in as.list(parse(script))) {
  if (is.call(expr) && identical(expr[[1]], as.name("<-")) && as.character(expr[[2]]) %in% needed) eval(expr)
}
all_designs <- function() {
  sum <- 0
  for (K in 2:6) for (alpha in c(.05, .01, .1)) {
    for (delta in c(0, .5, .25)) sum <- sum + wang_tsiatis(K, delta, alpha)$C
    for (type in c("OF", "PO", "KD2")) sum <- sum + lan_demets((1:K) / K, alpha, type)$z[K]
  }
  sum
}
runs <- sapply(1:3, function(i) { before <- proc.time(); all_designs(); sum((proc.time() - before)[1:2]) })
cat("designs", 1000 * median(runs), "\n")
