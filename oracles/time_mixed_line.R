# Times lme4 on the squads that the program was timed on.
#
# Run:  cargo run --release -p cornerwork-testkit --bin inference_speed -- FOLDER
#       Rscript oracles/time_mixed_line.R FOLDER [SIZE ...]
# Prints wall and processor seconds of the fit alone, and the estimates.

suppressMessages(library(lme4))
given <- commandArgs(trailingOnly = TRUE)
sizes <- if (length(given) > 1) given[-1] else c("10", "100", "1000", "10000", "100000")
cat("lme4", as.character(packageVersion("lme4")), R.version.string, "\n")
for (size in sizes) {
  data <- read.csv(file.path(given[1], paste0("squad_", size, ".csv")))
  tight <- lmerControl(
    optimizer = "bobyqa", optCtrl = list(rhoend = 1e-9), calc.derivs = FALSE
  )
  spent <- system.time(fit <- lmer(y ~ x + (x | g), data, REML = TRUE, control = tight))
  between <- VarCorr(fit)$g
  cat(sprintf(
    "| %s | %.4f | %.4f | %.8e %.8e | %.6e %.6e %.6e | %.7e | %.6f |\n",
    size, spent[["elapsed"]], spent[["user.self"]] + spent[["sys.self"]],
    fixef(fit)[1], fixef(fit)[2], between[1, 1], between[1, 2], between[2, 2],
    sigma(fit)^2, REMLcrit(fit)
  ))
}
