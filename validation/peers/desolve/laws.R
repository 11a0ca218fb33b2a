# The laws of the second peer model, written down once more from the model's equations and the papers named here.
# SI units; vectors over cells or links.

GAS_CONSTANT <- 8.314462618
GRAVITY <- 9.80665
KAPPA <- 1.4
CHOKED <- (2 / (KAPPA + 1))^(KAPPA / (KAPPA - 1))
ROUNDED <- 2e-5 # the root's infinite slope at equal pressures is drawn straight over this

MASS <- c(N2 = 28.0134e-3, O2 = 31.9988e-3, Ar = 39.948e-3)
AIR <- c(O2 = 0.209476, Ar = 0.009684) # the rest is nitrogen, here and in every other gas

# Molar mass of a gas from its oxygen and argon.
molar_mass <- function(oxygen, argon) {
  MASS[["N2"]] + oxygen * (MASS[["O2"]] - MASS[["N2"]]) + argon * (MASS[["Ar"]] - MASS[["N2"]])
}
AIR_MASS <- molar_mass(AIR[["O2"]], AIR[["Ar"]])

# Eq. 12 without area and gas: 1 for no flow is 0, highest where choked.
flow_function <- function(ratio) {
  if (ratio >= 1) return(0)
  if (ratio > 1 - ROUNDED) return(flow_function(1 - ROUNDED) * (1 - ratio) / ROUNDED)
  r <- max(ratio, CHOKED)
  sqrt(2 * KAPPA / (KAPPA - 1) * (r^(2 / KAPPA) - r^((KAPPA + 1) / KAPPA)))
}

# Molar flow through effective areas, eq. 12, mol/s; none against the pressure.
orifice <- function(area, upstream, downstream, temperature, mass) {
  if (upstream <= downstream) return(0 * area)
  area * upstream * flow_function(downstream / upstream) / sqrt(mass * GAS_CONSTANT * temperature)
}

hole <- function(diameter, coefficient) coefficient * pi / 4 * diameter^2

# Area that loses a pressure in a time, isothermal: logarithm while choked, a quadrature below.
area_from_loss <- function(from, loss, time, volume, site, temperature) {
  to <- from - loss
  speed <- sqrt(GAS_CONSTANT * temperature / AIR_MASS)
  edge <- min(max(site / CHOKED, to), from)
  choked <- if (edge < from) log(from / edge) / flow_function(CHOKED) else 0
  slow <- 0
  if (to < edge) {
    slowness <- function(p) vapply(p, function(one) 1 / (one * flow_function(site / one)), 0)
    slow <- integrate(slowness, to, edge, rel.tol = 1e-11, subdivisions = 2000L)$value
  }
  volume * (choked + slow) / (speed * time)
}

area_from_flow <- function(standard, pressure, site, temperature) {
  standard / orifice(1, pressure, site, temperature, AIR_MASS)
}

# Diffusivity times pressure of nitrogen and oxygen, Pa m2/s: eq. 9.
diffusivity_pressure <- function(temperature) 1.13e-5 * temperature^1.724 * 1e-4 * 101325

# Lowest layer of the U.S. Standard Atmosphere 1976.
air_pressure <- function(altitude) {
  height <- 6356766 * altitude / (6356766 + altitude)
  101325 * (288.15 / (288.15 - 0.0065 * height))^(-GRAVITY * 0.0289644 / (8.31432 * 0.0065))
}
