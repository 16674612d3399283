# Remakes the areas in audpc.json from its severities and prints them: Rscript audpc.R FOLDER
# Base R only: the plots are read with a pattern, so that no package is needed.
folder <- if (length(commandArgs(TRUE)) > 0) commandArgs(TRUE)[1] else "."
text <- readLines(file.path(folder, "audpc.json"))
numbers <- function(s) as.numeric(strsplit(s, ",")[[1]])
days <- numbers(gsub('.*\\[|\\].*', "", grep('^"days"', text, value = TRUE)))
for (line in grep('^\\["B', text, value = TRUE)) {
  y <- numbers(sub('.*\\[(.*)\\].*\\].*', "\\1", sub('^\\[', "", line)))
  n <- length(y)
  area <- sum((y[-1] + y[-n]) / 2 * diff(days))
  cat(sub('^\\["([^"]*)","([^"]*)".*', "\\1 \\2", line),
      format(area, digits = 17), format(area / (days[n] - days[1]), digits = 17), "\n")
}
