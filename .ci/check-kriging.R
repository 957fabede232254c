# Variograms, fits and kriging by gstat, of invented points and of the points that come with R's package sp, as lines of text that
# KrigingAgainstGstatTests compare with. Needs Debian's r-base-core, r-cran-gstat and r-cran-sp.
suppressMessages({
  library(sp)
  library(gstat)
})
line <- function(...) cat(paste(sapply(list(...), function(v) if (is.character(v)) v else formatC(v, digits = 17, format = "g", width = 1)), collapse = ","), "\n", sep = "")

show <- function(name, d, places, models) {
  coordinates(d) <- ~x + y
  coordinates(places) <- ~x + y
  at <- coordinates(d)
  third <- sqrt(sum(apply(at, 2, function(c) diff(range(c)))^2)) / 3 # gstat's own default is 0.33333
  for (i in seq_len(nrow(at))) line(name, "point", at[i, 1], at[i, 2], d$z[i])
  for (trend in c("none", "plane")) {
    form <- if (trend == "none") z ~ 1 else z ~ x + y
    v <- variogram(form, d, cutoff = third, width = third / 15)
    for (i in seq_len(nrow(v))) line(name, "lag", trend, v$np[i], v$dist[i], v$gamma[i])
    for (m in models) {
      model <- vgm(m$psill, m$kind, m$range, m$nugget)
      for (nmax in c(Inf, 8)) {
        k <- suppressMessages(krige(form, d, places, model, nmax = nmax, debug.level = 0))
        p <- coordinates(places)
        b <- suppressMessages(krige(form, d, places, model, nmax = nmax, block = c(40, 40), debug.level = 0))
        if (trend == "none") for (i in seq_len(nrow(p))) line(name, "block", trend, m$kind, m$nugget, m$psill, m$range, if (is.infinite(nmax)) 0 else nmax, p[i, 1], p[i, 2], b$var1.pred[i], b$var1.var[i])
        for (i in seq_len(nrow(p))) line(name, "krige", trend, m$kind, m$nugget, m$psill, m$range, if (is.infinite(nmax)) 0 else nmax, p[i, 1], p[i, 2], k$var1.pred[i], k$var1.var[i])
      }
    }
  }
  v <- variogram(z ~ 1, d, cutoff = third, width = third / 15)
  for (kind in c("Sph", "Exp", "Gau")) {
    f <- suppressWarnings(fit.variogram(v, vgm(max(v$gamma) / 2, kind, max(v$dist) / 3, max(v$gamma) / 2)))
    line(name, "fit", kind, f$psill[1], f$psill[2], f$range[2], attr(f, "SSErr"))
  }
  for (power in c(2, 3)) {
    w <- idw(z ~ 1, d, places, idp = power, debug.level = 0)
    p <- coordinates(places)
    for (i in seq_len(nrow(p))) line(name, "idw", power, p[i, 1], p[i, 2], w$var1.pred[i])
  }
  m <- models[[1]]
  c <- suppressMessages(krige.cv(z ~ 1, d, vgm(m$psill, m$kind, m$range, m$nugget), debug.level = 0))
  line(name, "left-out", m$kind, m$nugget, m$psill, m$range, mean(c$residual), sqrt(mean(c$residual^2)), sd(c$zscore))
}

set.seed(7)
made <- data.frame(x = runif(90, 0, 400), y = runif(90, 0, 300))
made$z <- 20 + 2 * sin(made$x / 25) + 2 * cos(made$y / 20) + rnorm(90) / 2
show("made", made, data.frame(x = c(100.5, 13, 390, 205, -50), y = c(150.5, 290, 5, 33, 400)),
  list(list(kind = "Sph", nugget = 0.2, psill = 5, range = 120), list(kind = "Exp", nugget = 0, psill = 6, range = 50), list(kind = "Gau", nugget = 0.5, psill = 5, range = 60)))
data(meuse)
show("meuse", data.frame(x = meuse$x, y = meuse$y, z = log(meuse$zinc)), data.frame(x = c(181180, 179500, 179700, 180380, 179220), y = c(333740, 330500, 331500, 332220, 330060)),
  list(list(kind = "Sph", nugget = 0.05, psill = 0.59, range = 897)))
