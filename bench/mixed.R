# Times R on the mixed models that bench/mixed.ts times: prints "case milliseconds" lines.
# Usage: Rscript mixed.R INPUTS. Median processor time of five runs, default settings of glmer and clmm.
inputs <- commandArgs(TRUE)[1]
median_ms <- function(f) {
  f()
  1000 * median(sapply(1:5, function(i) { before <- proc.time(); f(); sum((proc.time() - before)[1:2]) }))
}
quiet <- function(e) suppressWarnings(suppressMessages(e))
read <- function(name) read.csv(file.path(inputs, paste0(name, ".csv")), stringsAsFactors = TRUE)
say <- function(name, f) cat(name, median_ms(f), "\n")
if (requireNamespace("lme4", quietly = TRUE)) {
  for (name in c("leaf_4x4x6", "leaf_4x4x6_rare")) {
    d <- read(name)
    say(name, function() quiet(lme4::glmer(cbind(diseased, leaves - diseased) ~ trt + (1 | block) + (1 | plot) + (1 | plant), d, binomial)))
  }
  g <- read("hughes.grapes")
  g$plot <- factor(paste(g$block, g$trt)); g$stock <- factor(paste(g$plot, g$vine))
  say("hughes.grapes", function() quiet(lme4::glmer(cbind(diseased, total - diseased) ~ trt + (1 | block) + (1 | plot) + (1 | stock), g, binomial)))
}
if (requireNamespace("ordinal", quietly = TRUE)) {
  o <- read("ordinal_4x5x5"); o$grade <- factor(o$score)
  say("ordinal_4x5x5", function() quiet(ordinal::clmm(grade ~ trt + (1 | block) + (1 | plot), o)))
}
