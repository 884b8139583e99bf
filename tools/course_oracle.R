# Fits the sets of tools/course_sets.py with R's glmmTMB and nlme and writes the numbers the tests hold us to.
# Run from the project folder: Rscript tools/course_oracle.R
# glmmTMB's ou() has correlation exp(-exp(theta2) |t - t'|), so tau = exp(-theta2), here in minutes; its stays share
# one latent value per stay and minute, so readings of one minute are no trouble to it. Its dispersion model is
# that of the log error variance. The optimum is polished by Newton steps on TMB's own gradient.
suppressMessages({library(glmmTMB); library(nlme)})
out <- data.frame()
note <- function(set, what, value) out <<- rbind(out, data.frame(set = set, what = what, value = value))

read <- function(name) {
  d <- read.csv(file.path("tests/oracles", name))
  angle <- 2 * pi * d$clock / (24 * 60)
  d <- cbind(d, c1 = cos(angle), s1 = sin(angle), c2 = cos(2 * angle), s2 = sin(2 * angle))
  d$times <- numFactor(d$minute)
  for (f in c("stay", "site", "instrument", "person", "group")) if (f %in% names(d)) d[[f]] <- factor(d[[f]])
  d
}

polished <- function(fit) {
  at <- fit$fit$par
  hessian <- optimHess(at, fit$obj$fn, fit$obj$gr)
  for (i in 1:8) at <- at - solve(hessian, drop(fit$obj$gr(at)))
  list(par = at, value = fit$obj$fn(at), steepest = max(abs(fit$obj$gr(at))), all = fit$obj$env$last.par)
}

one_course <- function(set, d, formula, labels, reml) {
  name <- paste0(set, if (reml) ":reml" else ":ml")
  control <- glmmTMBControl(optCtrl = list(iter.max = 1000, eval.max = 1000, rel.tol = 1e-12))
  fit <- glmmTMB(formula, dispformula = ~site, data = d, REML = reml, control = control)
  store(name, d, fit, polished(fit), labels)
}

# Each label says what a theta is: log sd, or log rate of the course.
store <- function(name, d, fit, best, labels) {
  par <- fit$obj$env$parList(best$par, best$all)
  error <- exp(drop(model.matrix(~site, data.frame(site = levels(d$site))) %*% par$betad) / 2)
  theta <- par$theta
  is_rate <- grepl("^tau", labels)
  note(name, "criterion", 2 * best$value)
  note(name, "gradient", best$steepest)
  note(name, labels, ifelse(is_rate, exp(-theta) / 60, exp(theta)))
  note(name, paste0("sd:error:", levels(d$site)), error)
  fixed <- names(fixef(fit)$cond)
  note(name, paste0("fixed:", fixed), par$beta)
  note(name, paste0("se:", fixed), sqrt(diag(vcov(fit)$cond)))
  start <- fit$modelInfo$reStruc$condReStruc
  sizes <- sapply(start, function(s) s$blockSize * s$blockReps)
  groups <- fit$modelInfo$grpVar
  for (f in c("instrument", "person")) if (f %in% groups) {
    k <- which(groups == f); ends <- cumsum(sizes)
    note(name, paste0("effect:", f, ":", levels(d[[f]])), par$b[(ends[k] - sizes[k] + 1):ends[k]])
  }
}

fixed_part <- value ~ site + c1 + s1 + c2 + s2
a <- read("course_a.csv")
formula_a <- update(fixed_part, . ~ . + (1 | stay) + ou(times + 0 | stay) + (1 | stay:site) + (1 | instrument) + (1 | person))
labels_a <- c("sd:patient", "sd:course", "tau", "sd:patient_site", "sd:instrument", "sd:person")
for (reml in c(TRUE, FALSE)) print(system.time(one_course("a", a, formula_a, labels_a, reml)))
print(out)

b <- read("course_b.csv")
formula_b <- update(fixed_part, . ~ . + (1 | stay) + ou(times + 0 | stay) + (1 | stay:site) + (1 | instrument))
for (reml in c(TRUE, FALSE)) one_course("b", b, formula_b, labels_a[-6], reml)

# Spreads of their own for each care group: the same terms twice, each with the other group's rows set to 0 in Z;
# ou() itself takes no such indicator. With `tie`, both groups' courses share one rate.
b$stay2 <- b$stay
b$inward <- as.numeric(b$group == "ward"); b$inintensive <- 1 - b$inward
formula_g <- update(fixed_part, . ~ . + (0 + inward | stay) + (0 + inintensive | stay) + ou(times + 0 | stay) +
  ou(times + 0 | stay2) + (1 | stay:site) + (1 | instrument))
labels_g <- c("sd:patient:ward", "sd:patient:intensive", "sd:course:ward", "tau:ward", "sd:course:intensive",
              "tau:intensive", "sd:patient_site", "sd:instrument")
by_group <- function(name, reml, tie) {
  map <- if (tie) list(theta = factor(c(1, 2, 3, 4, 5, 4, 6, 7))) else NULL
  prepared <- glmmTMB(formula_g, dispformula = ~site, data = b, REML = reml, doFit = FALSE, map = map,
                      control = glmmTMBControl(optCtrl = list(iter.max = 1000, eval.max = 1000, rel.tol = 1e-12)))
  sizes <- sapply(prepared$condReStruc, function(s) s$blockSize * s$blockReps)
  ends <- cumsum(sizes)
  columns <- function(k) (ends[k] - sizes[k] + 1):ends[k]
  z <- as(prepared$data.tmb$Z, "CsparseMatrix")
  z[b$group == "intensive", columns(3)] <- 0
  z[b$group == "ward", columns(4)] <- 0
  prepared$data.tmb$Z <- as(Matrix::drop0(z), "TsparseMatrix")
  fit <- fitTMB(prepared)
  store(name, b, fit, polished(fit), labels_g)
}
by_group("b_groups_one_tau:reml", TRUE, TRUE)
by_group("b_groups:reml", TRUE, FALSE)
by_group("b_groups:ml", FALSE, FALSE)

c <- read.csv("tests/oracles/course_c.csv")
for (how in c("REML", "ML")) {
  fit <- lme(value ~ 1, c, random = ~ 1 | stay, correlation = corCAR1(form = ~ minute | stay), method = how,
             control = lmeControl(msMaxIter = 500, tolerance = 1e-12, msTol = 1e-12, opt = "nlminb"))
  name <- paste0("c:", tolower(how))
  phi <- coef(fit$modelStruct$corStruct, unconstrained = FALSE)
  note(name, "criterion", -2 * c(logLik(fit)))
  note(name, c("sd:patient", "sd:course", "tau"), c(as.numeric(VarCorr(fit)[1:2, 2]), -1 / log(phi) / 60))
  note(name, c("fixed:(Intercept)", "se:(Intercept)"), c(fixef(fit), sqrt(vcov(fit))))
}
out$value <- sprintf("%.14g", out$value)
versions <- paste0("glmmTMB ", packageVersion("glmmTMB"), ", TMB ", packageVersion("TMB"), ", nlme ",
                   packageVersion("nlme"), ", R ", getRversion())
writeLines(c(paste("# made by tools/course_oracle.R with", versions, "- times in hours, spreads in degrees"),
             "set|what|value", paste(out$set, out$what, out$value, sep = "|")), "tests/oracles/course_r.txt")
