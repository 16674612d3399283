# Analysis of covariance; ranks, tables and shares: j_*.json.
source(file.path(dirname(sub("--file=", "", grep("--file=", commandArgs(), value = TRUE))), "lib.R"))
suppressPackageStartupMessages(library(emmeans))
emm_options(opt.digits = FALSE)

d <- read_input("ancova_4x5")
m <- lm(y ~ block + base + trt, d)
a <- anova(m)
slopes <- anova(m, lm(y ~ block + base * trt, d))
save_case("j_ancova", "inputs/ancova_4x5.csv", "lm(y~block+base+trt); emmeans at mean(base)",
  list(anova = data.frame(term = rownames(a), df = a$Df, ss = a[["Sum Sq"]], F = a[["F value"]], p = a[["Pr(>F)"]]),
    coef = coef(m), se = coef(summary(m))[, 2], adj_means = plain(emmeans(m, "trt")),
    pairs_tukey = plain(summary(pairs(emmeans(m, "trt")), infer = TRUE)),
    slope_homogeneity = list(F = slopes$F[2], p = slopes[["Pr(>F)"]][2]), cov_mean = mean(d$base)),
  list(default = list(rel = 1e-8, abs = 1e-10), `pairs_tukey/*/p.value` = list(abs = 1e-6),
    `pairs_tukey/*/lower.CL` = list(rel = 2e-5), `pairs_tukey/*/upper.CL` = list(rel = 2e-5)))

test_of <- function(h, name = "stat") setNames(list(unname(h$statistic), h$p.value), c(name, "p"))

fisher_of <- function(v) {
  table <- matrix(v, 2, byrow = TRUE)
  x <- fisher.test(table)
  list(table = I(v), p = x$p.value, or = unname(x$estimate), ci = I(x$conf.int[1:2]),
    p_less = fisher.test(table, alternative = "less")$p.value,
    p_greater = fisher.test(table, alternative = "greater")$p.value)
}

# Share of x in n: Clopper-Pearson, Wilson, Jeffreys.
share_of <- function(x, n) {
  list(x = x, n = n, cp = I(binom.test(x, n)$conf.int[1:2]), wilson = I(prop.test(x, n, correct = FALSE)$conf.int[1:2]),
    jeffreys = I(qbeta(c(.025, .975), x + .5, n - x + .5)))
}

d <- read_input("rcbd_6x5")
Y <- matrix(d$y, nlevels(d$block), nlevels(d$trt), byrow = TRUE)
leaf <- read_input("leaf_4x4x6")
totals <- aggregate(cbind(diseased, healthy = leaves - diseased) ~ trt, leaf, sum)
counts <- as.matrix(totals[, 2:3])
large <- fisher_of(as.numeric(t(counts[1:2, ])))[c("table", "p", "or", "ci")]
four <- matrix(c(3, 9, 5, 7, 8, 4, 2, 10), 4, byrow = TRUE)
two <- droplevels(leaf[leaf$trt %in% c("A", "B"), ])
by_block <- aperm(xtabs(cbind(diseased, leaves - diseased) ~ trt + block, two), c(1, 3, 2))
cmh <- mantelhaen.test(by_block, correct = FALSE)
paired <- wilcox.test(Y[, 1], Y[, 3], paired = TRUE, conf.int = TRUE)
apart <- wilcox.test(Y[, 1], Y[, 3], conf.int = TRUE)
tied <- wilcox.test(leaf$diseased[leaf$trt == "A"], leaf$diseased[leaf$trt == "C"], exact = FALSE)
shift_of <- function(h, name) c(test_of(h, name), list(hl = unname(h$estimate), ci = I(h$conf.int[1:2])))
save_case("j_nonparametric", c("inputs/rcbd_6x5.csv", "inputs/leaf_4x4x6.csv"),
  "friedman.test, kruskal.test, fisher.test, mantelhaen.test, wilcox.test, binom.test",
  list(friedman = test_of(friedman.test(Y)), kruskal = test_of(kruskal.test(y ~ trt, d)),
    kruskal_ties = test_of(kruskal.test(diseased ~ trt, leaf)), fisher_2x2_large = large,
    fisher_2x2 = lapply(list(c(1, 9, 8, 2), c(0, 12, 5, 7), c(3, 5, 4, 6), c(10, 2, 3, 15)), fisher_of),
    fisher_4x2 = list(table = four, p = fisher.test(four)$p.value),
    cmh = c(test_of(cmh), list(or = unname(cmh$estimate), ci = I(cmh$conf.int[1:2]))),
    chisq = test_of(chisq.test(counts, correct = FALSE)),
    wilcoxon_paired_AvC = shift_of(paired, "V"), mannwhitney_AvC = shift_of(apart, "W"),
    mannwhitney_ties_normal = test_of(tied, "W"),
    binom_ci = list(share_of(0, 12), share_of(1, 12), share_of(5, 72), share_of(36, 72), share_of(72, 72)),
    spearman_p = cor.test(Y[, 1], Y[, 3], method = "spearman")$p.value),
  list(default = list(rel = 1e-8, abs = 1e-10), `*/or` = list(rel = 1e-4), `*/ci` = list(rel = 1e-4),
    `fisher_2x2/*/or` = list(rel = 1e-4), `fisher_2x2/*/ci` = list(rel = 1e-4)))
