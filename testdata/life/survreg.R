# The plain censored Weibull fit of 100,000 records in R's survival, for comparison with
#   go test ./score/life -run '^$' -bench Estimate100k -cpu 1
# run in turn with this script on the same quiet machine:
#   Rscript testdata/life/survreg.R
# The records follow the law of the benchmark's (shape 2.2, scale 100,000, looked at
# once at a distance even up to 150,000). survreg knows no late entry.
suppressMessages(library(survival))
set.seed(1)
n <- 100000
life <- rweibull(n, 2.2, 1e5)
end <- runif(n, 0, 1.5e5)
d <- data.frame(t = pmin(life, end), failed = life <= end)
took <- sapply(1:7, function(i) {
  gc(FALSE)
  system.time(survreg(Surv(t, failed) ~ 1, data = d, dist = "weibull"))["elapsed"]
})
cat(sprintf("R %s, survival %s: median %.0f ms of %d fits (%s)\n",
  getRversion(), packageVersion("survival"), 1000 * median(took), length(took), paste(round(1000 * took), collapse = " ")))
