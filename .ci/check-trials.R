# Rscript check-trials.R TRIAL: what keyline monitor found (found.csv) against R on the same tables.
# Log means or means of plots, visits, blocks; t.test, sign flips and Holm as R has them. Ends with 1 where they differ.
trial <- commandArgs(trailingOnly = TRUE)[1]
found <- read.csv(file.path(trial, "found.csv"))
plots <- read.csv(file.path(trial, "plots.csv"))
before <- "2027-03-20"

contrast <- function(table) {
  means <- aggregate(value ~ plot + date, table, mean)
  means <- merge(means, plots)
  d <- sapply(split(means, means$block), function(b) {
    at <- sapply(split(b, b$date), function(v) mean(v$value[v$treated == 1]) - mean(v$value[v$treated == 0]))
    mean(at[names(at) != before]) - at[[before]]
  })
  as.numeric(d)
}

clips <- read.csv(file.path(trial, "readings", "clips.csv"))
clips$value <- log(clips$dry_g / clips$frame_m2 * 10)
cover <- read.csv(file.path(trial, "readings", "cover.csv"))
cover$value <- cover$percent
wanted <- list("forage" = contrast(clips), "cover-plant" = contrast(cover))
tests <- lapply(wanted, t.test)
holm <- p.adjust(sapply(tests, function(t) t$p.value), "holm")

flips <- function(d) {
  signs <- as.matrix(expand.grid(rep(list(c(-1, 1)), length(d))))
  mean(abs(signs %*% d) >= abs(sum(d)) - 1e-9)
}

wrong <- 0
same <- function(what, ours, theirs) {
  if (length(ours) != 1 || is.na(ours) || abs(ours - theirs) > 1e-5 * max(1, abs(theirs))) {
    cat(sprintf("%s: ours %.8g, R's %.8g\n", what, ours, theirs))
    wrong <<- wrong + 1
  }
}

for (name in names(wanted)) {
  back <- if (name == "forage") exp else identity
  ours <- found[found$measure == name, ]
  d <- wanted[[name]]
  at90 <- t.test(d, conf.level = 0.90)$conf.int
  same(paste(name, "effect"), ours$effect, back(mean(d)))
  same(paste(name, "95 % low"), ours$low95, back(tests[[name]]$conf.int[1]))
  same(paste(name, "95 % high"), ours$high95, back(tests[[name]]$conf.int[2]))
  same(paste(name, "90 % low"), ours$low90, back(at90[1]))
  same(paste(name, "90 % high"), ours$high90, back(at90[2]))
  same(paste(name, "freedom"), ours$freedom, length(d) - 1)
  same(paste(name, "p"), ours$p, tests[[name]]$p.value)
  same(paste(name, "Holm's p"), ours$p_over_all, holm[[name]])
  same(paste(name, "p by sign flips"), ours$p_randomised, flips(d))
}

cat(sprintf("%d numbers of %d differ\n", wrong, 9 * length(wanted)))
if (wrong > 0 || nrow(found) != length(wanted)) quit(status = 1)
