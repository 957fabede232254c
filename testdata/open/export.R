# Writes a terrain example that an R package carries as an ESRI ASCII grid. Run from this folder: Rscript export.R
# bei.extra$elev: package spatstat.data. It carries metres of its own with no place on the earth; the corner below is ours.
write_grid <- function(z, west, south, cell, path) {
  # z: rows from the north, columns from the west
  header <- sprintf("ncols %d\nnrows %d\nxllcorner %s\nyllcorner %s\ncellsize %s\nNODATA_value -9999",
                    ncol(z), nrow(z), west, south, cell)
  writeLines(c(header, apply(z, 1, function(row) paste(format(round(row, 2), nsmall = 2, trim = TRUE), collapse = " "))), path)
}
data("bei", package = "spatstat.data")
elev <- bei.extra$elev
# An im's rows run from the south; its pixels are centred on 0, 5, ..., 1000 m.
write_grid(elev$v[nrow(elev$v):1, ], 627000 - 2.5, 1011000 - 2.5, elev$xstep, "bei/dem.asc")
