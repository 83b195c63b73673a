#!/usr/bin/Rscript
# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later
#
# Opens a result of wintergrub with ncdf4 and plots its larvae with ggplot2: an example to start from.
#
#   Rscript plot_result.R NAME.h5 [PICTURE.png]
#
# Exit codes: 0 done, 2 usage, 3 not a result of wintergrub, 4 a file that cannot be read or written.
# On Debian: r-cran-ncdf4 and, for the picture, r-cran-ggplot2.

stop_with <- function(path, why, status) {
  message("plot_result.R: ", path, ": ", why, ".")
  quit(status = status)
}

# Quantiles of the larvae by day. ncdf4 has the dimensions in reverse order: count[stage, time, replicate].
read_larvae <- function(path) {
  result <- ncdf4::nc_open(path)
  on.exit(ncdf4::nc_close(result))
  stages <- ncdf4::ncvar_get(result, "stage")
  days <- ncdf4::ncvar_get(result, "time")
  replicates <- result$dim$replicate$len
  larvae <- ncdf4::ncvar_get(result, "count", start = c(which(stages == "larva"), 1, 1), count = c(1, -1, -1))
  larvae <- matrix(larvae, nrow = length(days), ncol = replicates) # a single replicate is a vector
  first_day <- as.Date(sub("^days since (\\S+).*", "\\1", ncdf4::ncatt_get(result, "time", "units")$value))
  bands <- t(apply(larvae, 1, quantile, probs = c(0.05, 0.25, 0.5, 0.75, 0.95)))
  bands <- setNames(as.data.frame(bands), c("q05", "q25", "q50", "q75", "q95"))
  bands$date <- first_day + days
  list(bands = bands, title = ncdf4::ncatt_get(result, 0, "title")$value)
}

draw_larvae <- function(larvae, picture) {
  suppressPackageStartupMessages(library(ggplot2))
  plot <- ggplot(larvae$bands, aes(date)) +
    geom_ribbon(aes(ymin = q05, ymax = q95), fill = "#E69F00", alpha = 0.25) +
    geom_ribbon(aes(ymin = q25, ymax = q75), fill = "#E69F00", alpha = 0.6) +
    geom_line(aes(y = q50)) +
    scale_y_continuous(labels = function(x) format(x, big.mark = ",", trim = TRUE, scientific = FALSE)) +
    labs(title = larvae$title, x = NULL, y = "larvae", caption = "Line: median; bands: half of the replicates, 9 in 10") +
    theme_minimal() +
    theme(plot.margin = margin(8, 24, 8, 8)) # room for the last date
  ggsave(picture, plot, width = 9, height = 5, dpi = 120, bg = "white")
}

words <- commandArgs(trailingOnly = TRUE)
if (length(words) < 1 || length(words) > 2) {
  message("usage: Rscript plot_result.R NAME.h5 [PICTURE.png]")
  quit(status = 2)
}
path <- words[1]
if (file.access(path, 4) != 0 || dir.exists(path)) stop_with(path, "the file cannot be read", 4)
# nc_open() prints its own line before it stops
larvae <- tryCatch(
  suppressWarnings({
    invisible(capture.output(found <- read_larvae(path), type = "output"))
    found
  }),
  error = function(problem) stop_with(path, "this is not a result of wintergrub", 3)
)
best <- which.max(larvae$bands$q50)
cat(sprintf("%s: most larvae about %s, %.0f in the median\n", larvae$title, larvae$bands$date[best], larvae$bands$q50[best]))
if (length(words) == 2) {
  tryCatch(
    suppressWarnings(draw_larvae(larvae, words[2])),
    error = function(problem) stop_with(words[2], conditionMessage(problem), 4)
  )
}
