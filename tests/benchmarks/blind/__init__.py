"""A blind bench: do the stated 95 % intervals hold the truth?

Jobs are invented with a known truth, read with instruments that are wrong in
known ways, written as job files and put through the whole pipeline.  What
follows was written down and committed before the first job was run.  The
author had read how a job file is written, the names, the smallest steps and
the sources of the catalogue's instruments, and the printed budget of one
example; no formula of the tool's uncertainty, no permissible error of its
catalogue and no other simulator.

Populations of instruments
--------------------------
Within its class an instrument's error may be anything; how errors lie there
decides the coverage as much as the tool does.

A  spread over the class: the error *at the point of use* (the volume usually
   delivered, the load usually weighed, the length measured) is rectangular
   over the whole class limit, as JCGM 100:2008, 4.3.7 advises when nothing
   but limits is known.  The rest of the scale follows in long waves that stay
   within the class (any two points of it within the limit).  **Judged.**
B  better than class: normal with a standard deviation of a third of the
   limit, cut off at the limit; waves a third as high.  Over-coverage is to be
   expected here by construction.
S  as A, but with waves ten times shorter: neighbouring points of a scale
   share less of their error.  Shows how far the result hangs on the shape.

An error curve is gain + waves; offset, hysteresis and backlash where named.
Instruments of one job are drawn once for that job.

Class limits (own choice, from the standards)
---------------------------------------------
* Burette 50 ml, 0.1 ml divisions: ISO 385, 0.05 ml (A), 0.10 ml (B), between
  any two points.  Borosilicate 9.9e-6/K.  Four or five waves over the scale.
* Syringe 20 ml: ISO 7886-1, 1.5 % of capacity + 1 % of the amount below half,
  4 % of the amount from half up.  Offset against the stop + gain + waves.
  Set to the mark with a standard deviation of 0.08 ml, rubber springs back by
  0.05 ml (standard deviation).  Polypropylene 300e-6/K.  The remainder is
  pressed out of a full syringe and its mark read to 0.5 ml.
* Scales: OIML R 76-1, class III, e = the step, doubled since nobody verified
  them: 0.1 g step, loads of 60 to 190 g: 0.2 g; 1 g step, loads of 240 to
  480 g: 1 g, rectangular at the load before the fill.  Waves of a quarter of
  the range used; a placement scatters by 0.4 of a step (standard deviation).
  Since the curve is smooth, the error of a difference of two weighings is
  much less than twice the limit.  Weights of 8000 kg/m³.
* Improvised burette: a 60 ml tube with a plunger, marks at every 1 ml read to
  0.5 ml; its gain is out by up to 3 %, its marks wave by up to 0.15 ml, the
  plunger loses 0.1 to 0.4 ml when it turns round (the same for calibration
  and use, scatter 0.05 ml).  Calibrated in the job: six sizes, three runs,
  into a tared cup on the 0.1 g scale (limit 0.1 g at 50 g net).
* Dial indicator (DIN 878, from memory): 0.009 mm within one turn (deck),
  0.015 mm over the travel (drop), drawn apart: different zero, different part
  of its scale.  Read to half a division, 0.005 mm.
* Bore gauge set by micrometer (common practice, no source): 0.010 mm.
  Vernier caliper 0.02 mm (DIN 862 up to 100 mm, from memory): 0.020 mm, and
  its inner jaws read up to 0.01 mm short.  Micrometer to 25 mm (DIN 863-1,
  from memory): 0.004 mm.  Thermometer: 1 K, read to 0.5 K (common practice).

The bench (own choice, common practice)
---------------------------------------
* Chambers 36 to 47 ml (56 to 72 ml where the burette is refilled), apart by
  0.3 ml (standard deviation); bores 76 to 86 mm; crowns are dishes of 2 to
  9 ml; deck clearance 0.12 to 0.5 mm below, one job in four proud.
* Four or eight cylinders, three fills of each chamber and crown; fills of one
  way scatter alike: 0.04 to 0.12 ml (burette, scales, tube) or 0.08 to 0.20 ml
  (syringe), seating of the plate, end-point and wet rest together, no bubble.
* Eye at a burette: 0.015 ml besides the rounding to 0.05 ml.
* 17 to 24 °C; part and fluid differ by 0.3 K (standard deviation); aluminium
  69e-6/K.  Truth is at 20 °C.
* Water by Kell (1975, denominator 16.879850e-3) with up to 0.5 kg/m³ of
  salts; with detergent up to 0.3 kg/m³ more.  Air by the simplified CIPM
  formula, 960 to 1040 hPa, 30 to 70 %.
* Crown: grease-sealed (no crevice in it, no fillet left), drop 5 to 6.5 mm
  read before and after the fills.
* Deck: three readings a cylinder; zero set anew each time (0.004 mm), touch
  0.005 mm; front and rear differ by a tilt that cancels; thrust sides by a
  rock of 0.03 to 0.15 mm that repeats to 0.008 mm; dead centre missed by up
  to 0.003 mm.
* Bore: two axes twice, out of round up to 0.008 mm.  Gasket opening: three
  axes twice, oval up to 0.06 mm; thickness: six points, uneven by a wave of
  up to 0.015 mm and 0.006 mm (standard deviation) from point to point; the
  truth is the mean round the ring.
* Stroke and land are stated with a ± at 95 % that is true of them (normal).

No correction is needed that the job does not state: no film, no hole, no
leak, no drift.  What is compared is cylinder 1 against the truth, and
cylinders 1 and 2, named beforehand, against the true difference.

Line of few degrees of freedom: two cylinders, two readings of everything.
It is printed and not judged.

Changes after the first run
---------------------------
* Remarks of the tool (``--said``) are counted by the name of their level, not
  by its number.  A process ended from outside is an error.  Nothing that
  bears on a reading or a truth was changed.
* How blind it was, put right: besides what the head says, the author had seen
  the printed description of ``expand`` (Student's t; the shape of one rectangle
  that makes over half of the variance), how differences are taken, the sizes
  in that one budget, and the source lines of the catalogue, which say that
  scales are taken as class III and doubled.  The doubling here follows those
  lines as well as common practice.
* S says little about scales: gain leads their curve, and the error is drawn at
  one load only, so that errors at two loads 45 g apart are never independent.
"""
