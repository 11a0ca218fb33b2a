# Reads a scenario file: quantities to SI, names to numbers of cells. Only what the model in model.R knows.

inch <- 0.0254
foot <- 12 * inch
psi <- 0.45359237 * GRAVITY / inch^2
SCALE <- c(
  m = 1, mm = 1e-3, cm = 1e-2, "in" = inch, ft = foot, s = 1, min = 60, h = 3600, d = 86400, Pa = 1, kPa = 1e3, bar = 1e5,
  psi = psi, L = 1e-3, gal = 231 * inch^3, "m3/h" = 1 / 3600, "ft3/h" = foot^3 / 3600, m3 = 1, ft3 = foot^3,
  "mol/s" = 1, "%" = 0.01, K = 1
)

# A quantity in SI; pressures in psig, barg and kPag count from the site's.
si <- function(text, site = NA) {
  found <- regmatches(text, regexec("^ *([-+0-9.eE]+) *(.*?) *$", text))[[1]]
  value <- as.numeric(found[2])
  unit <- found[3]
  if (unit == "degC") return(value + 273.15)
  if (unit %in% c("psig", "barg", "kPag")) return(value * SCALE[[sub("g$", "", unit)]] + site)
  if (!unit %in% names(SCALE)) stop("unknown unit in ", text)
  value * SCALE[[unit]]
}

`%or%` <- function(a, b) if (is.null(a)) b else a

passage <- function(table) hole(si(table$diameter), table$coefficient %or% 0.8)

# Bore as given, or outside diameter less two walls from the standard's rows in the neighbouring folder.
bore_of <- function(pipe, standard) {
  if (!is.null(pipe$bore)) return(si(pipe$bore))
  size <- paste(gsub(" +", "-", trimws(sub("in", "", pipe$nominal))), pipe$schedule, sep = "-")
  row <- function(kind) standard$published[standard$id == paste(kind, size, sep = "-")]
  inch * (row("D") - 2 * row("W"))
}

# Cells of a riser as a data frame, links as another.
piping <- function(riser, site, standard) {
  cells <- data.frame()
  links <- data.frame()
  last <- c()
  for (i in seq_along(riser$pipe)) {
    pipe <- riser$pipe[[i]]
    count <- pipe$cells %or% 1L
    fixed <- if (is.null(pipe$exchange)) NA else si(pipe$exchange)
    if (is.null(pipe$volume)) {
      bore <- bore_of(pipe, standard)
      length <- si(pipe$length) / count
      volume <- pi / 4 * bore^2 * length
    } else {
      bore <- length <- NA
      volume <- si(pipe$volume) / count
    }
    first <- nrow(cells) + 1
    own <- first:(first + count - 1)
    cells <- rbind(cells, data.frame(pipe = pipe$name, volume, length, bore)[rep(1, count), ])
    from <- if (i == 1) own[-count] else c(last[[pipe$from %or% riser$pipe[[i - 1]]$name]], own[-count])
    to <- if (i == 1) own[-1] else own
    if (length(to)) links <- rbind(links, data.frame(from, to, fixed))
    last[[pipe$name]] <- own[count]
  }
  for (extra in riser$link) {
    links <- rbind(links, data.frame(from = last[[extra$between[1]]], to = last[[extra$between[2]]], fixed = NA))
  }
  list(cells = cells, links = links, last = last)
}

vent_of <- function(vent, site, last) {
  made <- list(area = passage(vent), cell = last[[vent$at]], policy = "always")
  open <- vent$open %or% "always"
  if (!is.list(open)) return(made)
  if (identical(open$until, "target")) {
    made$policy <- "target"
  } else if (!is.null(open$until)) {
    made$policy <- "until"
    made$until <- si(open$until)
  } else if (!is.null(open$every)) {
    made$policy <- "timed"
    made$every <- si(open$every)
    made$wide <- si(open$`for`)
  } else {
    made$policy <- "between"
    made$high <- si(open$high, site)
    made$low <- si(open$low, site)
  }
  made
}

# Effective leak area of every cell.
leak_areas <- function(riser, pipes, site, temperature, standard_density) {
  volume <- pipes$cells$volume
  areas <- 0 * volume
  for (leak in riser$leak) {
    area <- if (!is.null(leak$diameter)) {
      passage(leak)
    } else if (!is.null(leak$flow)) {
      area_from_flow(si(leak$flow) * standard_density, si(leak$pressure, site), site, temperature)
    } else {
      area_from_loss(si(leak$from, site), si(leak$loss), si(leak$over), sum(volume), site, temperature)
    }
    if (is.null(leak$at)) {
      areas <- areas + area * volume / sum(volume)
    } else {
      areas[pipes$last[[leak$at]]] <- areas[pipes$last[[leak$at]]] + area
    }
  }
  areas
}

read_riser <- function(riser, site, temperature, standard_density, sizes) {
  pipes <- piping(riser, site, sizes)
  supply <- riser$supply
  list(
    name = riser$name, set = si(riser$set_pressure, site), limit = si(riser$fill_limit %or% "30 min"),
    rest = si(riser$rest %or% "0 s"), gas = riser$initial_gas %or% "air",
    pressure = si(riser$initial_pressure %or% "0 psig", site), fill_area = passage(riser$fill),
    supply_area = passage(supply), switch = supply$kind == "switch",
    low = if (supply$kind == "switch") si(supply$low, site), high = if (supply$kind == "switch") si(supply$high, site),
    cells = pipes$cells, links = pipes$links,
    leak_area = leak_areas(riser, pipes, site, temperature, standard_density),
    vents = lapply(riser$vent, vent_of, site = site, last = pipes$last)
  )
}

read_source <- function(source, site, standard_density) {
  made <- list(kind = source$kind, pure = c(O2 = AIR[["O2"]], Ar = AIR[["Ar"]]))
  if (!is.null(source$purity)) made$pure <- c(O2 = 1 - si(source$purity), Ar = 0)
  for (key in c("nitrogen_flow", "air_flow", "content")) {
    if (!is.null(source[[key]])) made[[key]] <- si(source[[key]]) * standard_density
  }
  if (source$kind == "cylinders") {
    made$delivery <- si(source$delivery_pressure, site)
    return(made)
  }
  for (key in c("volume", "start", "stop", "air_below")) {
    if (!is.null(source$receiver[[key]])) made[[key]] <- si(source$receiver[[key]], site)
  }
  made$initial <- si(source$receiver$initial_pressure %or% source$receiver$stop, site)
  made$gas <- source$receiver$initial_gas %or% "air"
  made
}

read_scenario <- function(path, sizes) {
  table <- RcppTOML::parseTOML(path)
  if (!is.null(table$action) || is.list(table$site$temperature)) stop("no actions, no changing temperature here")
  if (any(vapply(table$riser, function(riser) !is.null(riser$low_point), NA))) stop("no low points here")
  site <- if (is.null(table$site$altitude)) si(table$site$pressure %or% "101.325 kPa") else air_pressure(si(table$site$altitude))
  temperature <- si(table$site$temperature %or% "20 degC")
  reference <- table$site$reference
  standard_density <- si(reference$pressure %or% "101.325 kPa") /
    (GAS_CONSTANT * si(reference$temperature %or% "20 degC"))
  list(
    title = table$title, duration = si(table$duration), limit = 1 - si(table$target), target = si(table$target),
    site = site, temperature = temperature, source = read_source(table$source, site, standard_density),
    molecular = table$mixing$molecular %or% TRUE,
    risers = lapply(table$riser, read_riser, site, temperature, standard_density, sizes)
  )
}
