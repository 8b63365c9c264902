# Lines of two kinds of people of unlike body mass, by lme4.
#
# Run:  Rscript oracles/mixed_line_covariates.R > testdata/golden/mixed_line_covariates.json
# Debian packages r-cran-lme4 and r-cran-jsonlite. Takes a few seconds.
#
# Take-off velocity against load over body mass; the whole line is shifted by kind (-1/2, +1/2) and
# by the logarithm of body mass about 70 kg. Rows are
# person, kind, log mass, load, velocity. `few` has 16 people with one to four jumps, `many` 120
# people with five, where averaging over the variances and plugging them in must agree.

suppressMessages(library(lme4))
library(jsonlite)

squad <- function(people, most, seed) {
  set.seed(seed)
  rows <- list()
  for (g in seq_len(people)) {
    kind <- if (g %% 3 == 0) -0.5 else 0.5
    mass <- round(70 + 8 * kind + rnorm(1, 0, 9), 1)
    z <- rnorm(2)
    u <- 0.20 * z[1]
    w <- 0.12 * (-0.3 * z[1] + sqrt(1 - 0.09) * z[2])
    count <- if (most == 5) 5 else 1 + (g %% most)
    x <- sort(sample(c(0, 0.2, 0.4, 0.6, 0.8), count))
    y <- 2.65 + 0.35 * kind + 0.25 * log(mass / 70) + u + (-1.30 + w) * x + rnorm(count, 0, 0.06)
    rows[[g]] <- data.frame(g = g, kind = kind, size = round(log(mass / 70), 6), x = x, y = round(y, 4))
  }
  do.call(rbind, rows)
}

fitted <- function(data) {
  tight <- lmerControl(
    optimizer = "bobyqa",
    optCtrl = list(rhobeg = 0.2, rhoend = 1e-10, maxfun = 100000),
    calc.derivs = FALSE
  )
  fit <- lmer(y ~ x + kind + size + (x | g), data, REML = TRUE, control = tight)
  between <- VarCorr(fit)$g
  modes <- ranef(fit)$g
  # Someone new of kind +1/2 and log mass 0.1: expected line, and its covariance with the variances
  # plugged in.
  seen <- rbind(c(1, 0, 0.5, 0.1), c(0, 1, 0, 0))
  list(
    rows = apply(data, 1, paste, collapse = ","),
    effects = unname(fixef(fit)),
    standard_errors = unname(sqrt(diag(as.matrix(vcov(fit))))),
    between = c(between[1, 1], between[1, 2], between[2, 2]),
    residual_variance = sigma(fit)^2,
    criterion = as.numeric(REMLcrit(fit)),
    modes = unname(as.matrix(modes[1:6, ])),
    newcomer = list(
      covariates = c(0.5, 0.1),
      line = as.numeric(seen %*% fixef(fit)),
      covariance = unname(seen %*% as.matrix(vcov(fit)) %*% t(seen) + matrix(between, 2, 2))
    )
  )
}

cat(toJSON(list(
  origin = list(
    script = "oracles/mixed_line_covariates.R", r = R.version.string,
    lme4 = as.character(packageVersion("lme4")), date = as.character(Sys.Date())
  ),
  few = fitted(squad(16, 4, 7)), many = fitted(squad(120, 5, 20261125))
), auto_unbox = TRUE, digits = 12, pretty = 1), "\n")
