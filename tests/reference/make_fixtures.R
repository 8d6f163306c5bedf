# make_fixtures.R - values beside published.json that stress the tails and the less common kinds of lives.
# Run: Rscript make_fixtures.R (R >= 4.2 with survival, nlme, jsonlite); rewrites fixtures.json.
# Data are made here with a fixed seed, or ship with R; nothing is copied from a book.
suppressPackageStartupMessages({library(survival); library(jsonlite)})
here <- dirname(sub("^--file=", "", grep("^--file=", commandArgs(FALSE), value = TRUE)))
CTL <- survreg.control(maxiter = 200, rel.tolerance = 1e-13)
A <- function(x) I(unname(as.numeric(x)))
L <- function(...) lapply(list(...), function(x) x)
out <- list(software = paste0("R ", getRversion(), ", survival ", packageVersion("survival")))

# ---- special functions (R's own, exact arithmetic in the tail) ------------------------------------------------
z <- c(-37, -20, -8, -5, -3, -1.5, -1, -0.5, -0.1, 0, 1e-5, 0.3, 0.66, 0.67, 1, 2, 3, 5, 5.7, 8, 12, 20, 37)
p <- c(1e-300, 1e-100, 1e-20, 1e-12, 1e-6, 0.001, 0.025, 0.05, 0.3, 0.5, 0.7, 0.95, 0.975, 0.999, 0.9999)
df <- c(1, 2, 3, 10, 54, 400, 1900, 2000, 20000)
cp <- c(0.025, 0.05, 0.5, 0.95, 0.975)
ba <- c(1, 2.4375, 5, 30, 0.5, 700); bb <- c(1, 6.5625, 1, 71, 3, 300)
gx <- c(0.05, 0.1, 0.5, 0.999, 1.0001, 1.5, 1.581, 2.0001, 3.3, 11.54, 100.5, 1e5)
fx <- c(0.001, 1, 10, 50, 200, 1000)
out$special <- list(z = z, pnorm = pnorm(z), pnorm_upper = pnorm(-z), pnorm_upper_log = pnorm(-z, log.p = TRUE),
  normal_hazard = exp(dnorm(z, log = TRUE) - pnorm(-z, log.p = TRUE)), p = p, qnorm = qnorm(p), df = df, chisq_p = cp,
  qchisq = t(sapply(df, function(d) qchisq(cp, d))), chisq_far_x = fx, chisq_far = pchisq(fx, 1, lower.tail = FALSE),
  beta_a = ba, beta_b = bb, qbeta = t(mapply(function(a, b) qbeta(c(.05, .5, .95), a, b), ba, bb)), gamma_x = gx, lgamma = lgamma(gx))

# ---- Weibull tails: B0.1, B1e-6, survival 1e-12 ------------------------------------------------------------------
tail <- list()
for (sh in c(0.5, 1, 2.3, 8)) {
  s <- 950
  t12 <- qweibull(1e-12, sh, s, lower.tail = FALSE)
  tail[[length(tail) + 1]] <- list(shape = sh, scale = s, B0.1 = qweibull(0.001, sh, s), B1e_6 = qweibull(1e-6, sh, s),
    B1e_15 = qweibull(1e-15, sh, s), age_at_1e_12 = t12, survival_there = pweibull(t12, sh, s, lower.tail = FALSE),
    failed_at_1 = pweibull(1, sh, s), density_there = dweibull(t12, sh, s))
}
out$weibull_tails <- tail

# ---- random lives of every kind --------------------------------------------------------------------------------
set.seed(20)
make <- function(n) {
  life <- rweibull(n, 1.8, 300); end <- runif(n, 80, 500)
  kind <- ifelse(life > end, "s", sample(c("e", "i", "l"), n, TRUE, c(.5, .35, .15)))
  w <- runif(n, 5, 60); u <- runif(n)
  lower <- ifelse(kind == "s", end, ifelse(kind == "e", life, ifelse(kind == "l", NA, pmax(1, life - u * w))))
  upper <- ifelse(kind == "s", NA, ifelse(kind == "e", life, life + (1 - u) * w))
  data.frame(lower = round(lower, 1), upper = round(upper, 1), weight = sample(c(1, 1, 2, 3), n, TRUE), x = round(rnorm(n), 2), g = rbinom(n, 1, .5))
}
d <- make(60)
dist <- c(weibull = "weibull", exponential = "exponential", lognormal = "lognormal", loglogistic = "loglogistic")
summary_of <- function(m) {
  p <- length(coef(m)); V <- m$var
  list(coefficients = A(coef(m)), spread = m$scale, logLik = m$loglik[2], covariance = unname(V))
}
y <- Surv(d$lower, d$upper, type = "interval2")
out$mixed <- list(lower = d$lower, upper = d$upper, weight = d$weight, x = d$x, g = d$g)
for (f in names(dist)) {
  out$mixed$plain[[f]] <- summary_of(survreg(y ~ 1, weights = weight, dist = dist[[f]], data = d, control = CTL))
  out$mixed$regression[[f]] <- summary_of(survreg(y ~ x + g, weights = weight, dist = dist[[f]], data = d, control = CTL))
}

# ---- left truncation with every kind of life: own log-likelihood, nlminb, then Newton with numeric derivatives -----
tr <- d; tr$entry <- ifelse(is.na(tr$lower), 0, round(tr$lower * runif(60, 0, .6) * rbinom(60, 1, .6), 1))
logS <- function(t, f, m, k) { z <- k * (log(t) - m); switch(f, weibull = -exp(z), lognormal = pnorm(-z, log.p = TRUE), loglogistic = plogis(-z, log.p = TRUE)) }
logf <- function(t, f, m, k) { z <- k * (log(t) - m); log(k / t) + switch(f, weibull = z - exp(z), lognormal = dnorm(z, log = TRUE), loglogistic = dlogis(z, log = TRUE)) }
ll <- function(p, f) {
  m <- p[1]; k <- exp(p[2]); lo <- ifelse(is.na(tr$lower), 0, tr$lower); up <- tr$upper
  exact <- !is.na(up) & lo == up; sus <- is.na(up); int <- !exact & !sus
  v <- numeric(60); v[sus] <- logS(lo[sus], f, m, k); v[exact] <- logf(lo[exact], f, m, k)
  v[int] <- log(exp(logS(lo[int], f, m, k)) - exp(logS(up[int], f, m, k)))
  sum(tr$weight * (v - ifelse(tr$entry > 0, logS(pmax(tr$entry, 1e-300), f, m, k), 0)))
}
out$truncated <- list(lower = tr$lower, upper = tr$upper, weight = tr$weight, entry = tr$entry)
for (f in c("weibull", "lognormal", "loglogistic")) {
  m <- nlminb(c(log(250), .3), function(p) -ll(p, f), control = list(rel.tol = 1e-15, x.tol = 1e-12))
  out$truncated[[f]] <- list(location = m$par[1], spread = exp(-m$par[2]), logLik = -m$objective)
}

# ---- Kaplan-Meier with delayed entry and ties --------------------------------------------------------------------
set.seed(4)
n <- 40; ent <- ifelse(runif(n) < .5, 0, sample(1:6, n, TRUE)); tm <- ent + sample(1:14, n, TRUE); st <- rbinom(n, 1, .6)
km <- function(level) { s <- survfit(Surv(ent, tm, st) ~ 1, conf.type = "log-log", conf.int = level); i <- s$n.event > 0
  list(time = s$time[i], n_risk = s$n.risk[i], n_event = s$n.event[i], surv = s$surv[i], se = (s$std.err * s$surv)[i], lower = s$lower[i], upper = s$upper[i], cumhaz = s$cumhaz[i], cumhaz_se = s$std.chaz[i]) }
out$delayed_entry <- list(entry = ent, time = tm, status = st, km90 = km(.9))

# ---- Turnbull (survfit stops near 5e-5) --------------------------------------------------------------------------
tb <- survfit(Surv(d$lower, d$upper, type = "interval2") ~ 1, weights = d$weight)
out$turnbull <- list(time = tb$time, surv = tb$surv)

# ---- competing modes with delayed entry and ties -----------------------------------------------------------------
set.seed(9)
n <- 80; e1 <- ifelse(runif(n) < .6, 0, sample(1:5, n, TRUE)); t1 <- e1 + sample(1:12, n, TRUE); m1 <- sample(0:2, n, TRUE, c(.35, .4, .25))
aj <- survfit(Surv(e1, t1, factor(m1, 0:2, c("alive", "one", "two"))) ~ 1, id = seq_len(n))
out$modes <- list(entry = e1, time = t1, mode = m1, at = aj$time, one = aj$pstate[, 2], two = aj$pstate[, 3], se_one = aj$std.err[, 2], se_two = aj$std.err[, 3])

# ---- three-parameter Weibull: own log-likelihood, threshold profiled over a fine grid, then refined ------------------
set.seed(31)
t3 <- round(120 + rweibull(90, 2.4, 200), 1); c3 <- round(runif(90, 200, 480), 1); s3 <- as.integer(t3 <= c3); y3 <- pmin(t3, c3)
pf <- function(g) { m <- survreg(Surv(y3 - g, s3) ~ 1, control = CTL); if (m$scale > 1) -Inf else m$loglik[2] }
gr <- seq(0, min(y3[s3 == 1]) - .2, length.out = 400); gi <- which.max(sapply(gr, pf))
g <- optimize(pf, gr[c(gi - 1, gi + 1)], maximum = TRUE, tol = 1e-10)
m3 <- survreg(Surv(y3 - g$maximum, s3) ~ 1, control = CTL)
out$threshold <- list(time = y3, status = s3, threshold = g$maximum, shape = 1 / m3$scale, scale = exp(coef(m3)[[1]]), logLik = m3$loglik[2])

# ---- wear paths: random slope with a common start, by REML and by ML ------------------------------------------------
set.seed(12)
part <- rep(1:14, times = sample(1:6, 14, TRUE)); age <- round(unlist(lapply(split(part, part), function(p) cumsum(runif(length(p), 30, 120)))), 1)
slope <- rnorm(14, -0.004, 0.0012); mm <- round(25 + slope[part] * age + rnorm(length(part), 0, 0.04), 3)
w <- data.frame(part, age, mm)
wear <- list(part = part, age = unname(age), mm = mm)
for (method in c("REML", "ML")) {
  m <- nlme::lme(mm ~ age, random = ~ 0 + age | part, data = w, method = method, control = nlme::lmeControl(opt = "optim", reltol = 1e-14, msTol = 1e-12))
  wear[[method]] <- list(start = unname(nlme::fixef(m)[1]), slope = unname(nlme::fixef(m)[2]), slope_sd = as.numeric(nlme::VarCorr(m)[1, 2]), residual_sd = m$sigma,
    logLik = as.numeric(logLik(m)), slopes = unname(coef(m)[, 2]), se = unname(sqrt(diag(m$varFix))))
}
out$wear <- wear

# ---- counts: exact tests R has ------------------------------------------------------------------------------------------
pt <- function(x, t, r = 1) { two <- poisson.test(x, t, r); list(x = x, t = t, r = r, two = two$p.value, less = poisson.test(x, t, r, "less")$p.value, greater = poisson.test(x, t, r, "greater")$p.value, conf = A(two$conf.int), conf90 = A(poisson.test(x, t, r, conf.level = .9)$conf.int)) }
out$counts <- list(tests = list(pt(c(7, 12), c(1000, 900)), pt(c(140, 90), c(5200, 5100)), pt(c(3, 0), c(10, 400)), pt(c(11, 21), c(800, 3011), 1.3)),
  p = c(.001, .2, .03, .04, .012, .5, .9, .011), bh = p.adjust(c(.001, .2, .03, .04, .012, .5, .9, .011), "BH"))

# ---- correlation of ranks for reverse arrangements: exact Kendall distribution ---------------------------------------------
k <- function(n) { p <- 1; for (i in 2:n) { p <- rowSums(sapply(0:(i - 1), function(s) c(rep(0, s), p, rep(0, i - 1 - s)))) }; p / sum(p) }
out$kendall <- list(n = 10, probability = A(k(10)))

writeLines(toJSON(out, digits = I(17), auto_unbox = TRUE, na = "null", pretty = FALSE), file.path(here, "fixtures.json"))
