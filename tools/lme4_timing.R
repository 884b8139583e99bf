# Fits the crossed model to a CSV with R's lme4 and prints the seconds, the criterion and the sds.
# Used by benchmarks/variation.py: Rscript tools/lme4_timing.R FILE.csv
suppressMessages(library(lme4))
d <- read.csv(commandArgs(TRUE)[1])
for (f in c("stay", "episode", "instrument", "person", "ward")) d[[f]] <- factor(d[[f]])
start <- proc.time()[["elapsed"]]
fit <- lmer(value ~ factor(site) + c1 + s1 + c2 + s2 + (1 | stay) + (1 | episode) + (1 | instrument) +
  (1 | person) + (1 | ward), d, control = lmerControl(calc.derivs = FALSE))
seconds <- proc.time()[["elapsed"]] - start
sds <- as.data.frame(VarCorr(fit))
cat("seconds", seconds, "\n", "criterion", sprintf("%.6f", REMLcrit(fit)), "\n", sep = " ")
for (i in seq_len(nrow(sds))) cat("sd", sds$grp[i], sprintf("%.8f", sds$sdcor[i]), "\n")
