# Fits the ordinary crossed model with lme4 or glmmTMB and prints the seconds inside the fit, the criterion, the sds.
# Used by benchmarks/variation.py: Rscript tools/crossed_timing.R lme4|glmmTMB FOLDER   (columns as .i4 and .f8 files)
# lme4: its default optimiser (nloptwrap BOBYQA, xtol_abs = ftol_abs = 1e-8), without the derivative check afterwards
# (calc.derivs = FALSE). glmmTMB: its default (nlminb), without standard errors (se = FALSE). Both REML.
arguments <- commandArgs(TRUE)
package <- arguments[1]
suppressMessages(library(package, character.only = TRUE))
column <- function(path) {
  whole <- grepl("i4$", path)
  readBin(path, if (whole) "integer" else "double", file.size(path) / if (whole) 4 else 8, size = if (whole) 4 else 8)
}
names <- c("value", "c1", "s1", "c2", "s2", "site", "stay", "instrument", "person", "ward")
find <- function(name) column(Sys.glob(file.path(arguments[2], paste0(name, ".*"))))
d <- as.data.frame(sapply(names, find, simplify = FALSE))
for (f in c("site", "stay", "instrument", "person", "ward")) d[[f]] <- factor(d[[f]])
model <- value ~ site + c1 + s1 + c2 + s2 + (1 | stay) + (1 | instrument) + (1 | person) + (1 | ward)
invisible(gc())
start <- proc.time()
fit <- if (package == "lme4") lmer(model, d, REML = TRUE, control = lmerControl(calc.derivs = FALSE)) else
  glmmTMB(model, data = d, REML = TRUE, se = FALSE)
spent <- proc.time() - start
groups <- c("stay", "instrument", "person", "ward")
spread <- VarCorr(fit)
if (package != "lme4") spread <- spread$cond
sds <- sapply(groups, function(g) attr(spread[[g]], "stddev"))
cat("version", as.character(packageVersion(package)), "\n")
cat("blas", basename(dirname(extSoftVersion()[["BLAS"]])), "\n")
cat("seconds", spent[["elapsed"]], "\n")
cat("cpu", spent[["user.self"]] + spent[["sys.self"]], "\n")
cat("criterion", sprintf("%.6f", -2 * c(logLik(fit))), "\n")
for (g in groups) cat(g, sprintf("%.8f", sds[[paste0(g, ".(Intercept)")]]), "\n")
cat("reading", sprintf("%.8f", sigma(fit)), "\n")
