"""Plain formulas on floats and arrays: no tables, no files, no objects of the job.

Each module holds one subject; each public function names its source, its units and the range it covers.
What a table must supply (resistivities, diameters, gates, meter accuracies) comes in as a number.

=============== =======================================================================================
conductor       resistance by temperature, strand and material; areas and diameters
heated          a conductor whose own heat raises its resistance, in closed form
convection      dry air and natural convection
heat            steady temperature and current capacity of one insulated conductor in still air
loom            several loaded conductors taken as one cylinder
cable_standard  current capacity by the T1/T4 method of the cable standard
transient       heating in time: pre-load, short time, pulse trains
adiabatic       heating in a fault, without loss
fusing          the current that melts a wire
fuse            opening time of a fuse from its gates
pulses          what a train of pulses does to a fuse
inrush          starting currents and their heat integrals
starting        starts against a fuse's fastest curve
selectivity     two fuses in series
switching       relays and contacts: pick-up, release, contact heat, precharge
laying          fill, bore and bend
ventilation     air against hydrogen
protection      a fuse's slowest curve against what a conductor stands
drop            voltage drop, and the area for an allowed drop
loads           what a load draws at another voltage
battery         volts, resistance and run time of a battery
storage         a battery by its state: volts, resistance, losses, acceptance, starting
kinetic         charge that a battery gives at once, and charge that it gives in time
rested          state of charge from rested volts, and how wide that is
charging        alternator, sun and charger: what they give
uncertainty     from a meter's accuracy to a combined value
propagation     uncertainty through a formula, to first order and by trials
estimation      unknowns of a network from readings, and which reading does not fit
distributions   probabilities and quantiles that the above need
=============== =======================================================================================
"""
