#!/usr/bin/Rscript
# A second independent solver of the whole model, with LSODAR of R's deSolve.
#
#     Rscript model.R SCENARIO.toml RESULT.json
#
# Shares no code with the library nor with ../peer_model.py, and differs from both in how it is put: the states are
# pressures and mole fractions (not moles), flows in loops come from one linear system of balances and least loss, and
# the solver itself looks for the roots at which something switches. Plain and slow. Needs r-cran-desolve,
# r-cran-rcpptoml and r-cran-jsonlite; the kept results in expected/ are from R 4.2.2 with deSolve 1.34.

here <- dirname(normalizePath(sub("^--file=", "", grep("^--file=", commandArgs(), value = TRUE)[1])))
source(file.path(here, "laws.R"))
source(file.path(here, "scenario.R"))

RELATIVE <- 1e-9
NEAR <- 1e-9 # a threshold this near, relative, is met
LONGEST_STEP <- 10800

# What does not change in a run: which states are whose, how flows follow from needs.
assemble <- function(s) {
  s$states <- if (s$source$kind == "cylinders") 1L else 3L
  for (r in seq_along(s$risers)) {
    riser <- s$risers[[r]]
    n <- nrow(riser$cells)
    riser$n <- n
    riser$p <- s$states + 1L
    riser$o <- riser$p + seq_len(n)
    riser$a <- riser$p + n + seq_len(n)
    s$states <- s$states + 1L + 2L * n
    riser$volume <- sum(riser$cells$volume)
    riser$share <- riser$cells$volume / riser$volume
    riser$m <- nrow(riser$links)
    if (riser$m) riser <- with_links(riser, s)
    s$risers[[r]] <- riser
  }
  s
}

with_links <- function(riser, s) {
  a <- riser$cells[riser$links$from, ]
  b <- riser$cells[riser$links$to, ]
  n <- riser$n
  m <- riser$m
  riser$from_matrix <- matrix(0, n, m)
  riser$from_matrix[cbind(riser$links$from, seq_len(m))] <- 1
  riser$to_matrix <- matrix(0, n, m)
  riser$to_matrix[cbind(riser$links$to, seq_len(m))] <- 1
  incidence <- riser$to_matrix - riser$from_matrix
  # Balances with resistance-weighted least squares: round any loop, resistance times flow adds to nothing (eq. 6).
  resistance <- a$length / 2 / a$bore^4 + b$length / 2 / b$bore^4
  resistance[is.na(resistance)] <- if (all(is.na(resistance))) 1 else mean(resistance, na.rm = TRUE)
  resistance <- resistance / mean(resistance)
  kept <- incidence[-1, , drop = FALSE] # the first cell's balance follows from the others
  system <- rbind(cbind(diag(resistance, m), t(kept)), cbind(kept, matrix(0, n - 1, n - 1)))
  riser$flows_of_needs <- cbind(0, solve(system)[seq_len(m), m + seq_len(n - 1), drop = FALSE])

  area <- function(cell) pi / 4 * cell$bore^2
  riser$conductance <- 1 / (a$length / 2 / area(a) + b$length / 2 / area(b))
  riser$shaped <- !is.na(riser$conductance)
  riser
}

# Exchange of every link, mol/s: by diffusion, eq. 8 and 9, or as given.
exchange <- function(riser, s, pressure) {
  given <- riser$links$fixed
  if (!any(riser$shaped & is.na(given))) return(ifelse(is.na(given), 0, given))
  molecular <- pressure / (GAS_CONSTANT * s$temperature) * s$diffusivity / pressure * riser$conductance
  found <- if (s$molecular) molecular else 0
  ifelse(is.na(given), ifelse(riser$shaped, found, 0), given)
}

# Pressure, oxygen and argon that the risers draw from.
source_gas <- function(y, s, mode) {
  if (s$source$kind != "cylinders") return(c(y[1], y[2], y[3]))
  c(if (mode$empty) 0 else s$source$delivery, s$source$pure)
}

# What leaves each cell by leaks and open vents, mol/s; negative where outside air comes in.
outflow <- function(y, riser, own, s) {
  p <- y[riser$p]
  area <- riser$leak_area
  for (k in which(own$open)) {
    cell <- riser$vents[[k]]$cell
    area[cell] <- area[cell] + riser$vents[[k]]$area
  }
  if (p < s$site) return(-orifice(area, s$site, p, s$temperature, AIR_MASS))
  orifice(area, p, s$site, s$temperature, molar_mass(y[riser$o], y[riser$a]))
}

capacity <- function(y, riser, own, s, mode) {
  area <- if (own$phase == "filling") riser$fill_area else if (own$supply == "shut") 0 else riser$supply_area
  gas <- source_gas(y, s, mode)
  orifice(area, gas[1], y[riser$p], s$temperature, molar_mass(gas[2], gas[3]))
}

# Rates of change of one riser, and what it takes from the source.
riser_rates <- function(y, riser, own, s, mode) {
  p <- y[riser$p]
  x <- cbind(y[riser$o], y[riser$a])
  gas <- source_gas(y, s, mode)
  out <- outflow(y, riser, own, s)
  taken <- if (own$supply == "hold") max(sum(out), 0) else capacity(y, riser, own, s, mode)
  gain <- taken - sum(out)
  # Moles of species that come in, above what the cell's own composition would bring.
  excess <- pmax(-out, 0) * cbind(AIR[["O2"]] - x[, 1], AIR[["Ar"]] - x[, 2])
  excess[1, ] <- excess[1, ] + taken * (gas[2:3] - x[1, ])
  if (riser$m) {
    need <- riser$share * gain + out
    need[1] <- need[1] - taken
    flow <- drop(riser$flows_of_needs %*% need)
    g <- exchange(riser, s, p)
    step <- x[riser$links$from, , drop = FALSE] - x[riser$links$to, , drop = FALSE]
    excess <- excess + riser$to_matrix %*% ((pmax(flow, 0) + g) * step) -
      riser$from_matrix %*% ((pmax(-flow, 0) + g) * step)
  }
  thermal <- GAS_CONSTANT * s$temperature
  moles <- p * riser$cells$volume / thermal
  list(rates = c(thermal / riser$volume * gain, excess / moles), taken = taken)
}

rates <- function(t, y, s, mode) {
  dy <- numeric(length(y))
  taken <- 0
  for (r in seq_along(s$risers)) {
    riser <- s$risers[[r]]
    found <- riser_rates(y, riser, mode$risers[[r]], s, mode)
    dy[c(riser$p, riser$o, riser$a)] <- found$rates
    taken <- taken + found$taken
  }
  if (s$source$kind == "cylinders") {
    dy[1] <- -taken
    return(list(dy))
  }
  made <- switch(mode$machine, off = 0, air = s$source$air_flow, nitrogen = s$source$nitrogen_flow)
  gas <- if (mode$machine == "nitrogen") s$source$pure else AIR
  per_mole <- GAS_CONSTANT * s$temperature / s$source$volume
  dy[1] <- per_mole * (made - taken)
  dy[2:3] <- per_mole * made * (gas - y[2:3]) / y[1]
  list(dy)
}

# Capacity of a holding regulator over what it has to pass, less one.
margin <- function(y, riser, own, s, mode) {
  demand <- sum(outflow(y, riser, own, s))
  if (demand <= 0) return(1)
  capacity(y, riser, own, s, mode) / demand - 1
}

# --- what may switch in a mode: list(value of the state, sign it has before, name, riser, vent) --------------------
watch <- function(value, before, does, ...) list(value = value, before = before, does = does, ...)

above <- function(index, level, before, does, ...) {
  force(index) # now, not when the caller's loop has gone on
  force(level)
  watch(function(y) y[index] / level - 1, before, does, ...)
}

source_watches <- function(s, mode) {
  if (s$source$kind == "cylinders") {
    if (mode$empty) return(list())
    return(list(watch(function(y) y[1] / s$source$content, 1, "run empty")))
  }
  fresh <- if (s$source$kind == "compressor") "air" else "nitrogen"
  switch(mode$machine,
    off = list(above(1, s$source$start, 1, fresh)),
    nitrogen = list(above(1, s$source$stop, -1, "off"), above(1, s$source$air_below, 1, "air")),
    air = list(above(1, s$source$stop, -1, "off"))
  )
}

supply_watches <- function(riser, own, s, mode, r) {
  if (riser$switch) {
    if (own$supply == "shut") return(list(above(riser$p, riser$low, 1, "supply wide", riser = r)))
    return(list(above(riser$p, riser$high, -1, "supply shut", riser = r)))
  }
  switch(own$supply,
    hold = list(watch(function(y) margin(y, riser, own, s, mode), 1, "supply wide", riser = r)),
    # A hair above, so that a regulator that has just let go does not stand on its own threshold.
    wide = list(above(riser$p, riser$set * (1 + NEAR), -1, "supply hold", riser = r)),
    shut = list(above(riser$p, riser$set, 1, "supply hold", riser = r))
  )
}

vent_watches <- function(riser, own, r) {
  found <- list()
  for (k in seq_along(riser$vents)) {
    vent <- riser$vents[[k]]
    if (vent$policy != "between") next
    found[[length(found) + 1]] <- if (own$open[k]) {
      above(riser$p, vent$low, 1, "vent shut", riser = r, vent = k)
    } else {
      above(riser$p, vent$high, -1, "vent open", riser = r, vent = k)
    }
  }
  found
}

# One for every cell: the next crossing of the target, with a hair of hysteresis.
target_watches <- function(riser, own, s, r) {
  lapply(seq_len(riser$n), function(cell) {
    at <- riser$o[cell]
    if (own$met[cell]) {
      return(above(at, s$limit * (1 + 10 * NEAR), -1, "leave target", riser = r, cell = cell))
    }
    above(at, s$limit, 1, "meet target", riser = r, cell = cell)
  })
}

watches <- function(s, mode) {
  found <- source_watches(s, mode)
  for (r in seq_along(s$risers)) {
    riser <- s$risers[[r]]
    own <- mode$risers[[r]]
    if (own$phase == "filling") found <- c(found, list(above(riser$p, riser$set, -1, "filled", riser = r)))
    if (own$phase == "service") found <- c(found, supply_watches(riser, own, s, mode, r), vent_watches(riser, own, r))
    found <- c(found, target_watches(riser, own, s, r))
  }
  found
}

# --- what a switch does: returns the mode after it -----------------------------------------------------------------
note_target <- function(own, cell, met, t) {
  own$met[cell] <- met
  own$since[cell] <- if (met) t else NA
  together <- all(own$met)
  if (together && !own$together) own$stretches <- rbind(own$stretches, c(t, NA))
  if (!together && own$together) own$stretches[nrow(own$stretches), 2] <- t
  own$together <- together
  own
}

shut_vents_at_target <- function(riser, own) {
  for (k in seq_along(riser$vents)) {
    if (riser$vents[[k]]$policy == "target" && own$together) own$open[k] <- FALSE
  }
  own
}

complete_fill <- function(riser, own, t) {
  own$phase <- "service"
  own$fill_time <- t - own$fill_start
  own$supply <- if (riser$switch) "shut" else "hold"
  for (k in seq_along(riser$vents)) {
    vent <- riser$vents[[k]]
    if (vent$policy == "between") next
    own$open[k] <- TRUE
    if (vent$policy == "timed") own$flip[k] <- t + vent$wide
    if (vent$policy == "until") own$flip[k] <- vent$until
  }
  shut_vents_at_target(riser, own)
}

apply_watch <- function(it, s, mode, t) {
  if (it$does == "run empty") {
    mode$empty <- TRUE
    return(mode)
  }
  if (it$does %in% c("off", "air", "nitrogen")) {
    mode$machine <- it$does
    return(mode)
  }
  riser <- s$risers[[it$riser]]
  own <- mode$risers[[it$riser]]
  if (startsWith(it$does, "supply")) own$supply <- sub("supply ", "", it$does)
  if (it$does == "vent open") own$open[it$vent] <- TRUE
  if (it$does == "vent shut") own$open[it$vent] <- FALSE
  if (it$does == "meet target") own <- shut_vents_at_target(riser, note_target(own, it$cell, TRUE, t))
  if (it$does == "leave target") own <- note_target(own, it$cell, FALSE, t)
  if (it$does == "filled") {
    own <- complete_fill(riser, own, t)
    mode$next_fill <- t + riser$rest
  }
  mode$risers[[it$riser]] <- own
  mode
}

next_dated <- function(s, mode) {
  phases <- vapply(mode$risers, function(own) own$phase, "")
  next_fill <- if (any(phases == "waiting") && !any(phases == "filling")) mode$next_fill else Inf
  min(unlist(lapply(mode$risers, function(own) own$flip)), next_fill)
}

apply_dated <- function(s, mode, t) {
  phases <- vapply(mode$risers, function(own) own$phase, "")
  if (!any(phases == "filling") && any(phases == "waiting") && mode$next_fill <= t) {
    r <- which(phases == "waiting")[1]
    mode$risers[[r]]$phase <- "filling"
    mode$risers[[r]]$fill_start <- t
  }
  for (r in seq_along(s$risers)) {
    own <- mode$risers[[r]]
    for (k in which(own$flip <= t)) {
      vent <- s$risers[[r]]$vents[[k]]
      own$open[k] <- vent$policy == "timed" && !own$open[k]
      own$flip[k] <- if (vent$policy == "until") {
        Inf
      } else {
        own$flip[k] + if (own$open[k]) vent$wide else vent$every - vent$wide
      }
    }
    mode$risers[[r]] <- own
  }
  mode
}

# Applies everything that is due at this instant.
settle <- function(y, s, mode, t) {
  for (turn in 1:100) {
    mode <- apply_dated(s, mode, t)
    due <- Find(function(it) {
      value <- it$before * it$value(y)
      if (it$does == "supply wide" && is.null(s$risers[[it$riser]]$low)) return(value < 0)
      if (it$does == "supply hold") return(value <= 0)
      if (endsWith(it$does, "target")) return(FALSE)
      value <= NEAR
    }, watches(s, mode))
    if (is.null(due)) return(list(y = y, mode = mode))
    mode <- apply_watch(due, s, mode, t)
    if (due$does == "supply hold") y[s$risers[[due$riser]]$p] <- s$risers[[due$riser]]$set
  }
  stop("switches flip for ever at ", t, " s")
}

# --- a run ---------------------------------------------------------------------------------------------------------
initial_state <- function(s) {
  y <- numeric(s$states)
  gas_of <- function(name) if (name == "air") AIR else s$source$pure
  y[seq_len(if (s$source$kind == "cylinders") 1 else 3)] <-
    if (s$source$kind == "cylinders") s$source$content else c(s$source$initial, gas_of(s$source$gas))
  for (riser in s$risers) {
    y[riser$p] <- riser$pressure
    y[riser$o] <- gas_of(riser$gas)[["O2"]]
    y[riser$a] <- gas_of(riser$gas)[["Ar"]]
  }
  y
}

initial_mode <- function(s, y) {
  mode <- list(machine = "off", empty = FALSE, next_fill = 0, risers = list())
  if (s$source$kind == "generator" && y[1] <= s$source$air_below) mode$machine <- "air"
  mode$risers <- lapply(s$risers, function(riser) {
    met <- y[riser$o] <= s$limit
    list(
      phase = "waiting", supply = "shut", open = rep(FALSE, length(riser$vents)), flip = rep(Inf, length(riser$vents)),
      fill_start = NA, fill_time = NA, met = met, since = ifelse(met, 0, NA), together = all(met),
      stretches = if (all(met)) matrix(c(0, NA), 1) else matrix(0, 0, 2)
    )
  })
  mode
}

# To the first switch or the bound.
smooth_stretch <- function(t, y, bound, s, mode) {
  watched <- watches(s, mode)
  scale <- ifelse(y > 10, 1e-6, 1e-12) # absolute: pressures and moles, fractions
  out <- deSolve::lsodar(
    y, c(t, bound), function(t, y, parms) rates(t, y, s, mode), NULL, rtol = RELATIVE, atol = scale,
    rootfunc = function(t, y, parms) vapply(watched, function(it) it$value(y), 0),
    hmax = min(LONGEST_STEP, bound - t), maxsteps = 1e5
  )
  last <- out[nrow(out), ]
  fired <- attr(out, "iroot")
  fired <- if (is.null(attr(out, "troot"))) integer() else which(fired != 0)
  if (!length(fired) && last[[1]] < bound) stop("the solver stopped at ", last[[1]], " s")
  list(t = last[[1]], y = unname(last[-1]), fired = watched[fired])
}

run <- function(s) {
  y <- initial_state(s)
  mode <- initial_mode(s, y)
  t <- 0
  while (t < s$duration) {
    settled <- settle(y, s, mode, t)
    y <- settled$y
    mode <- settled$mode
    bound <- min(s$duration, next_dated(s, mode))
    found <- smooth_stretch(t, y, bound, s, mode)
    for (it in found$fired) {
      # A root that is only left, not crossed, means nothing.
      step <- max(found$t - t, 1) * 1e-6
      ahead <- found$y + step * rates(found$t, found$y, s, mode)[[1]]
      if (it$before * it$value(ahead) > 0) next
      mode <- apply_watch(it, s, mode, found$t)
      if (it$does == "supply hold") found$y[s$risers[[it$riser]]$p] <- s$risers[[it$riser]]$set
    }
    t <- found$t
    y <- found$y
  }
  outcome(s, mode, y)
}

outcome <- function(s, mode, y) {
  risers <- lapply(seq_along(s$risers), function(r) {
    riser <- s$risers[[r]]
    own <- mode$risers[[r]]
    stretches <- own$stretches
    if (own$together) stretches[nrow(stretches), 2] <- s$duration
    pipes <- lapply(unique(riser$cells$pipe), function(name) {
      cells <- which(riser$cells$pipe == name)
      list(name = name, oxygen = I(y[riser$o[cells]]), time_to_target_s = I(own$since[cells]))
    })
    list(
      name = riser$name, fill_time_s = own$fill_time, fill_limit_s = riser$limit,
      fill_met = !is.na(own$fill_time) && own$fill_time <= riser$limit,
      time_to_target_s = if (own$together) stretches[nrow(stretches), 1] else NA,
      at_target_s = stretches, final = list(pressure_pa = y[riser$p], pipes = pipes)
    )
  })
  list(format = 1, title = s$title, duration_s = s$duration, target_purity = s$target, risers = risers)
}

main <- function(arguments) {
  sizes <- read.csv(file.path(here, "..", "..", "asme_b36_10m_2004", "data.csv"), comment.char = "#")
  s <- assemble(read_scenario(arguments[1], sizes))
  s$diffusivity <- diffusivity_pressure(s$temperature)
  text <- jsonlite::toJSON(run(s), auto_unbox = TRUE, digits = NA, na = "null", pretty = 1)
  writeLines(text, arguments[2])
}

main(commandArgs(trailingOnly = TRUE))
