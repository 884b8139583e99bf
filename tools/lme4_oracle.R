# Fits teaching sets and a crossed simulated set with R's lme4 and writes the numbers the tests hold us to.
# Run from the project folder: Rscript tools/lme4_oracle.R
suppressMessages(library(lme4))
tight <- lmerControl(optimizer = "bobyqa", optCtrl = list(rhoend = 1e-12, maxfun = 1e5), calc.derivs = FALSE,
                     check.conv.singular = "ignore")
out <- data.frame()
note <- function(set, fit) {
  vc <- as.data.frame(VarCorr(fit))
  rows <- data.frame(set = set, what = paste0("sd:", vc$grp), value = vc$sdcor)
  fixed <- fixef(fit)
  rows <- rbind(rows, data.frame(set = set, what = paste0("fixed:", names(fixed)), value = fixed),
                data.frame(set = set, what = paste0("se:", names(fixed)), value = sqrt(diag(as.matrix(vcov(fit))))),
                data.frame(set = set, what = "criterion", value = REMLcrit(fit)))
  effects <- as.data.frame(ranef(fit, condVar = TRUE))
  effects <- effects[!(effects$grpvar %in% c("stay", "episode")), ]
  if (nrow(effects)) {
    name <- paste0(effects$grpvar, ":", effects$grp)
    rows <- rbind(rows, data.frame(set = set, what = paste0("effect:", name), value = effects$condval))
  }
  out <<- rbind(out, rows)
}
write <- function(d, name) write.csv(d, file.path("tests/oracles", name), row.names = FALSE, quote = FALSE)
write(Penicillin, "penicillin.csv"); write(Pastes, "pastes.csv"); write(Dyestuff2, "dyestuff2.csv")
note("penicillin", lmer(diameter ~ 1 + (1 | plate) + (1 | sample), Penicillin, control = tight))
note("pastes", lmer(strength ~ 1 + (1 | batch) + (1 | sample), Pastes, control = tight))
note("dyestuff2", lmer(Yield ~ 1 + (1 | Batch), Dyestuff2, control = tight))
set.seed(7)
n <- 1500
stay <- sort(sample(1:300, n, TRUE)); episode <- stay * 10 + sample(0:2, n, TRUE)
instrument <- sample(1:12, n, TRUE); person <- sample(1:40, n, TRUE); ward <- (stay %% 5) + 1
site <- sample(0:2, n, TRUE); hour <- round(runif(n, 0, 24), 2)
value <- 37 + c(0, -0.3, 0.2)[site + 1] + 0.25 * cos(2 * pi * (hour - 17) / 24) + rnorm(300, 0, 0.5)[stay] +
  rnorm(3010, 0, 0.2)[episode] + rnorm(12, 0, 0.15)[instrument] + rnorm(40, 0, 0.08)[person] +
  rnorm(5, 0, 0.1)[ward] + rnorm(n, 0, 0.25)
crossed <- data.frame(stay, episode, instrument, person, ward, site, hour, value = round(value, 3))
write(crossed, "crossed.csv")
note("crossed", lmer(value ~ factor(site) + cos(2 * pi * hour / 24) + sin(2 * pi * hour / 24) +
  cos(4 * pi * hour / 24) + sin(4 * pi * hour / 24) + (1 | stay) + (1 | episode) + (1 | instrument) +
  (1 | person) + (1 | ward), crossed, control = tight))
out$value <- sprintf("%.12g", out$value)
writeLines(c(paste0("# made by tools/lme4_oracle.R with lme4 ", packageVersion("lme4"), ", R ", getRversion()),
             "set|what|value", paste(out$set, out$what, out$value, sep = "|")), "tests/oracles/lme4.txt")
