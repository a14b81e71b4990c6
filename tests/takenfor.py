"""What people type and save that could be taken for something else: one row each, with what must come of it.

A row is the text, what must come of it, and what is said. Where the middle is ``NO`` it is refused, and the refusal
matches the last; else it is the expected numbers, and a note matches the last ("" where nothing need be said).
"""

from CoolProp.CoolProp import PropsSI

NO = object()
ML = PropsSI("D", "T", 273.15, "P", 101325, "Oxygen")       # mg in 1 mL of oxygen at 0 C, 1 atm; Weiss (1970): 1.429
UMOL = 0.0319988            # mg in 1 umol: molar mass, IUPAC

ABS, COMMA, TWO = "absolute pressure.*gauge", "thousands from decimals", "one number or two"
# one quantity in a box -> (number, unit) or refusal; rows that read as they stand keep the reader from being too strict
QUANTITY = [
    *((text, NO, ABS) for text in (
        "24.7 psia", "24.7 PSIA", "24.7 psi a", "24.7 psi (a)", "24.7 psi[abs]", "24.7 psi abs", "24.7 psi abs.",
        "24.7 psi absolute", "24.7 absolute psi", "24.7 abs psi", "1.7 bara", "1.7 bar(a)", "1.7 bar a", "1.7 bar abs",
        "170 kPa abs", "170 kPaa", "170 kPa(a)", "170 kPa absolute", "1700 mbar abs", "50 inHg abs", "1.7 atm abs")),
    ("24.7 psia", NO, r"10.0 psi \(69.0 kPa\) at the gauge"),       # 24.7 - 14.696 psi, U.S. Standard Atmosphere 1976
    ("5 psig", (5, "psi"), ""), ("5 psi (g)", (5, "psi"), ""), ("5 psi gauge", (5, "psi"), ""),
    ("1 barg", (1, "bar"), ""), ("35 kPa g", (35, "kPa"), ""), ("5 Pa", (5, "Pa"), ""), ("5 atm", (5, "atm"), ""),
    *((text, (30, "inHg"), "") for text in ("30 inHg", "30 in. Hg", "30 inches of mercury")),
    ("12 psid", NO, "not a unit"),
    *((text, NO, COMMA) for text in ("0,125 ha", "0,5 m", "4,0 m", "3,25 ft", "00,125 ha", "12,5 psi", "0,500 ha",
                                     "-0,125 m", "1,250,5 m", "1,25,000 ft", "1234,567 ft", "0,125,000 m2")),
    ("0,125 ha", NO, "'0.125'"), ("4,0 m", NO, "'4.0'"), ("0.125 ha", (0.125, "ha"), ""),
    ("1,250 gal", (1250, "gal"), ""), ("1,250.5 gal", (1250.5, "gal"), ""), ("20,000 ft", (20000, "ft"), ""),
    *((text, NO, TWO) for text in ("1.250,5 ha", "1 250 ft", "1\N{NARROW NO-BREAK SPACE}250 m", "1'250 m", "1.250.5 m",
                                   "5 6 ft", "0 5 7 0 ft")),
    ("100 ft 2", NO, "second number"), ("12 ft 6", NO, "second number"), ("5 ft 14 in", NO, "foot has 12"),
    ("5'12\"", NO, "foot has 12"), ("5.5 ft 6 in", NO, "parts of a foot"), ("5 to 6 ft", NO, "two numbers"),
    ("5-6 ft", NO, "two numbers"), ("8 or 9 ft", NO, "two numbers"), ("5 ± 1 ft", NO, "not a unit"),
    ("~5 ft", NO, "start with a number"), ("5 ft?", NO, "not a unit"), ("5", NO, "no unit"),
    ("5 furlongs", NO, "not a unit"),
    *((text, (8.5, "ft"), "") for text in (
        "8'6\"", "8' 6\"", "8’6”", "8′6″", "8‘6“", "8'6''", "8`6``", "8 ft 6 in", "8 ft. 6 in.", "8ft6in",
        "8 feet, 6 inches", "8 ft and 6 in", "8' - 6\"", "8½ ft", "8 ½ ft", "8 1/2 ft", "8-1/2 ft", "8.5'", "102 in")),
    ("-8'6\"", (-8.5, "ft"), ""), ("1½ in", (1.5, "in"), ""), ("22º C", (22, "degC"), ""), ("22 ˚C", (22, "degC"), ""),
    ("4 Nm3/h", NO, "0 °C in some places"), ("5 ppb", NO, "not a unit"), ("5 mL/L", NO, "not a unit")]

# heading of the oxygen column, three readings; depth 0, 4, 8 ft at 25, 20, 15 C -> mg/L. "%" means: by gsw, in the test
PROFILE = [
    ("DO (mg/L)", (8, 7, 1), (8, 7, 1), ""), ("DO mg/L", (8, 7, 1), (8, 7, 1), ""), ("D.O. (ppm)", (8, 7, 1),
    (8, 7, 1), ""),
    ("dissolved oxygen, mg/L", (8, 7, 1), (8, 7, 1), ""), ("DO [mg·L⁻¹]", (8, 7, 1), (8, 7, 1), ""),
    ("DO (g/m³)", (8, 7, 1), (8, 7, 1), ""), ("ODO mg/L", (8, 7, 1), (8, 7, 1), ""), ("DO_mgl", (8, 7, 1),
    (8, 7, 1), ""),
    ("DissolvedOxygen_mgL", (8, 7, 1), (8, 7, 1), ""), ("oxygen", (8, 7, 1), (8, 7, 1), "no unit.*percent"),
    ("DO", (8, 7, 1), (8, 7, 1), "no unit.*percent"), ("DO", (38, 30, 22), NO, "percent saturation"),
    *((heading, (90, 70, 20), "%", "turned into mg/L.*sea level") for heading in (
        "DO (% sat)", "DO saturation", "DO (percent)", "DO pct", "DO %", "ODO (% Sat)", "oxygen (%)", "DO % (local)",
        "Dissolved Oxygen Saturation (%)", "DO_pct", "Sat %", "DO (% air sat)")),
    ("DO (%)", (0.9, 0.7, 0.2), NO, "write it as 85"), ("DO (%)", (900, 700, 2), NO, "250 %"),
    ("DO (fraction)", (0.9, 0.7, 0.2), NO, "fraction"),
    *((heading, (5, 4, 1), (5 * ML, 4 * ML, ML), "mL/L.*1.429") for heading in ("DO (mL/L)", "DO ml/l", "O2 (cc/L)")),
    *((heading, (250, 200, 20), (250 * UMOL, 200 * UMOL, 20 * UMOL), "umol/L.*0.032") for heading in (
        "DO (umol/L)", "DO (µmol/L)", "DO (μM)", "DO umol L-1", "DO (mmol/m3)")),
    ("DO (mmol/L)", (0.25, 0.2, 0.02), (250 * UMOL, 200 * UMOL, 20 * UMOL), "mmol/L"),
    ("DO (ug/L)", (8000, 7000, 1000), (8, 7, 1), "ug/L.*0.001"), ("DO ppb", (8000, 7000, 1000), (8, 7, 1), "ug/L"),
    ("DO (kPa)", (20, 15, 2), NO, "kpa"), ("DO (mbar)", (200, 150, 20), NO, "mbar"),
    ("O2 (torr)", (150, 120, 20), NO, "torr"),
    ("DO (mg/kg)", (8, 7, 1), NO, "mg/kg"), ("DO (ppt)", (8, 7, 1), NO, "ppt"), ("DO (V)", (1.2, 1.1, 0.2), NO, "'v'"),
    ("DO sat (mg/L)", (8, 7, 1), NO, "both saturation and"), ("DO (mg/L)", (8, 7, -3), NO, "-3 mg/L, outside 0 to 40"),
    ("DO (mg/L)", (24, 20, 8), (24, 20, 8), "times what water holds"),
    ("BOD (mg/L)", (3, 3, 3), None, ""), ("Biochemical oxygen demand (mg/L)", (3, 3, 3), None, "left out"),
    ("DO at depth (mg/L)", (8, 7, 1), (8, 7, 1), ""),
    ('"DO conc, mg/L (probe S/N: 1, box S/N: 2)"', (8, 7, 1), (8, 7, 1), ""),
    ("DO probe temp (F)", (77, 68, 59), None, "left out"),
    ("DO %,DO mg/L", ("95,8", "80,7", "9,1"), (8, 7, 1), "'DO %' was left out"),
    ("DO mg/L,DO ppm", ("8,8", "7,7", "1,1"), NO, "Two columns look like oxygen")]

# headings and two rows (first at the surface) -> temperature of the first row, C
TEMPERATURE = [
    ("depth (ft),air temp (F),water temp (F)", "0,95,77\n8,95,59", 25, "'air temp .F.' was left out"),
    ("depth (ft),water temp (F),air temp (F)", "0,77,95\n8,59,95", 25, "'air temp .F.' was left out"),
    ("depth (ft),air temp (F)", "0,95\n8,94", NO, "not the temperature of the water"),
    ("depth (ft),ambient T (C)", "0,35\n8,34", NO, "not the temperature of the water"),
    ("depth (ft),DO probe temp (F),temp (F)", "0,95,77\n8,95,59", 25, "probe"),
    ("depth (ft),tempF", "0,77\n8,59", 25, ""), ("depth (ft),Water (F)", "0,77\n8,59", 25, ""),
    ("depth (ft),temp", "0,77\n8,59", NO, "no unit"), ("depth (ft),temp (C)", "0,77\n8,59", NO, "°F"),
    ("Depth (m);Temp (°C)", "0,5;25,0\n3,0;18,2", 25, ""), ("depth (ft)\ttemp (F)", "0\t77\n8\t59", 25, ""),
    ("depth (ft),temp (F)", "0,77\n8'6\",59", 25, ""),
    ("depth (ft),temp (F)", "0,77\n2.5 m,59", 25, "'2.5 m', in a column of ft"),
    ("depth (ft),temp (F)", "0,77\n8,15 C", 25, "'15 C', in a column of °F"),
    ("depth (ft),temp (F)", "0,77°\n8,59°", 25, ""),
    ("depth,temp\nft,F", "0,77\n8,59", 25, "Row 2 was read as the units"),
    ("depth,temp\n(m),(°C)", "0,25\n2.4,15", 25, "Row 2 was read as the units"),
    ("depth_ft temp_F", "0 77\n8 59", 25, ""), ("depth (ft) temp (F)", "0 77\n8 59", 25, ""),
    ("depth (ft),temp (F)", "0,77\n8,59\nAverage,68", 25, "Row 4 was left out: it is a total or an average"),
    ("depth (ft),temp (F)", "0,77\n8,59\ndepth (ft),temp (F)\n9,58", 25, "Row 4 was left out: it repeats the heading"),
    ("depth (ft),temp (F)", "0,77\n4,—\n8,59", 25, "Row 3 was left out: no temperature is given"),
    ("depth (ft),temp (F)", "0,77\n4,<60\n8,59", NO, "'<60', not a number"),
    ("depth (ft),temp (F)", "0,77\n4,68 calm\n8,59", NO, "'68 calm', not a number"),
    ("depth (ft),temp (F)", "0,77\n4,68,calm\n8,59", NO, "more entries"),
    ("depth (ft),temp (F)", "0,77\n\"1,250\",59", NO, "thousands or decimals"),
    ("depth (ft),temp (F)", "0,77\n8 deep,59", NO, "not a length"),
    ("depth (ft),temp (F)", "1,77\n-3,59", NO, "sign"),
    ("depth (psia),temp (F)", "0,77\n8,59", NO, "no unit|does not measure"),
    ("\ufeffdepth (ft),temp (F)", "0,77\n8,59", 25, "")]

NIGHT = ("2025-07-06 20:00", "2025-07-06 23:00", "2025-07-07 02:00")
# heading of the oxygen, three readings at 25 C at 8 pm, 11 pm and 2 am -> mg/L
LOG = [
    ("DO (mg/L)", (8, 7, 6), (8, 7, 6), ""), ("DO (ppm)", (8, 7, 6), (8, 7, 6), ""), ("DO (g/m3)", (8, 7, 6),
    (8, 7, 6), ""),
    ("DO", (8, 7, 6), (8, 7, 6), "no unit"), ("DO", (38, 30, 22), NO, "percent saturation"),
    *((heading, (38, 30, 22), "%", "turned into mg/L") for heading in ("DO (percent)", "DO pct", "DO (%)", "DO % sat",
        "DO sat")),
    ("DO (mL/L)", (5, 4, 3), (5 * ML, 4 * ML, 3 * ML), "mL/L"), ("DO (umol/L)", (250, 200, 150),
    (250 * UMOL, 200 * UMOL, 150 * UMOL), ""),
    ("DO (ppb)", (8000, 7000, 6000), (8, 7, 6), "ug/L"), ("DO (ug/L)", (8000, 7000, 6000), (8, 7, 6), "ug/L"),
    ("DO (kPa)", (18, 17, 16), NO, "kpa"), ("DO (hPa)", (180, 170, 160), NO, "hpa"),
    ("DO (mV)", (38, 30, 22), NO, "oxygen"),
    ("DO (mg/L)", (8, -3, 3000), (8,), "left out"), ("DO (mg/L)", (8, 85, 6), (8, 6), "left out"),
    ("DO (mL/L)", (5, 90, 3), (5 * ML, 3 * ML), "left out"), ("DO %,DO mg/L", ("95,8", "85,7", "70,6"),
    (8, 7, 6), "'DO %'")]
# a whole log -> hours since the first reading
DATES = [
    ("07/06/2025 19:00|07/06/2025 23:00|08/06/2025 06:00", (0, 4, 11), "day first.*June 7"),
    ("11/12/2025 20:00|12/12/2025 04:00", (0, 8), "day first.*December 11"),
    ("07/06/2025 19:00|07/06/2025 23:00|07/07/2025 06:00", (0, 4, 11), "month stands first.*July 6"),
    ("7/14/2025 19:00|7/15/2025 06:00", (0, 11), ""), ("14.07.2025 19:00|15.07.2025 06:00", (0, 11), ""),
    ("14/07/2025 19:00|15/07/2025 06:00", NO, "day first"), ("2025-07-14 19:00|2025-07-15 06:00", (0, 11), ""),
    ("2225-07-14 19:00|2225-07-15 06:00", NO, "still to come"),
    ("2025-07-14 19:00|2205-07-15 06:00", NO, "still to come"),
    ("1970-01-01 00:10|1970-01-01 06:10", (0, 6), "clock of the meter"), ("19:00|06:00", (0, 11), ""),
    ("2025-07-14T19:00Z|2025-07-15T06:00Z", NO, "world time"),
    ("2025-07-14 1900|2025-07-15 0600", (0, 11), ""), ("14-Jul-2025 19:00|15 July 2025 06:00", (0, 11), ""),
    ('"July 14, 2025 7 pm"|"Jul 15, 2025 6 am"', (0, 11), ""), ("2025-07-14 24:00|2025-07-15 06:00", (0, 6), ""),
    ("19:00|25:10|06:00", (0, 11), "left out: the time is '25:10'"), ("9.30|10.30", NO, "not a time"),
    ("0930|1030", NO, "not a time"), ("45844.83|45844.95", NO, "not a time"),
    ("2025-07-14 19:00 EST|2025-07-15 06:00 EST", NO, "not a time")]
# a log of a night whose hour stands in a column of its own -> hours since the first reading
TWO_COLUMNS = [
    ("Date,Time", "7/14/2025,7:00 PM|7/15/2025,6:00 AM", (0, 11), ""),
    ("Time,Date", "19:00,2025-07-14|06:00,2025-07-15", (0, 11), ""),
    ("Date,Hour", "2025-07-14,19|2025-07-15,6", (0, 11), ""),
    ("Date,Time,AM/PM", "7/14/2025,7:00,PM|7/15/2025,6:00,AM", (0, 11), ""),
    ("Date,Time (hhmm)", "2025-07-14,1900|2025-07-15,0600", (0, 11), ""),
    ("Date,Date/Time", "2025-07-14,2025-07-14 19:00|2025-07-15,2025-07-15 06:00", (0, 11), ""),
    ("Date Time,Elapsed time (h)", "2025-07-14 19:00,0|2025-07-15 06:00,11", (0, 11), ""),
    ('#,"Date Time, GMT-05:00"', "1,07/14/25 07:00:00 PM|2,07/15/25 06:00:00 AM", (0, 11), ""),
    ("Date,Time", "2025-07-14,9.30|2025-07-15,10.30", NO, "not a time")]

# heading and times of a tub log -> seconds from the first
TUB_TIME = [
    ("Time", "0:00 0:30 1:00 1:30 2:00", (0, 30, 60, 90, 120), "minutes and seconds"),
    ("Time", "0:30 1:00 1:30 2:00", (0, 30, 60, 90), "minutes and seconds"),
    ("Time", "1:00 2:00 3:00", (0, 60, 120), "minutes and seconds"),
    ("Time", "58:00 59:00 60:00", (0, 60, 120), "minutes and seconds"),
    ("Time (min)", "0:00 0:30 1:00", (0, 30, 60), "minutes and seconds"),
    ("Elapsed (mm:ss)", "0:10 0:20 0:30", (0, 10, 20), ""),
    ("Time (min:sec)", "10:05 10:15", (0, 10), ""), ("Time (h:min)", "0:00 0:30 1:00", (0, 1800, 3600), ""),
    ("Time", "10:05 10:06 10:07", (0, 60, 120), ""), ("Time", "23:58 23:59 0:00 0:01", (0, 60, 120, 180), ""),
    ("Time", "2:05:30 PM 2:06:00 PM", (0, 30), ""), ("Time", "0:00:00 0:00:30", (0, 30), ""),
    ("Time", "0:00 0:10 0:20 0:30 0:40 0:50 1:00 1:10", NO, "may be hours and minutes"),
    ("Clock time", "8:00 8:30 9:00", NO, "may be hours and minutes"),
    ("Time", "8:00 8:30 9:00 9:30", NO, "may be hours and minutes"),
    ("Time", "10:05 10:05:30 10:06", NO, "some have not"), ("Time", "10:05 10:04 10:06", NO, "goes back"),
    ("Time (min)", "0 2 1", NO, "goes back"), ("Time (min)", "0 1 2", (0, 60, 120), ""),
    ("Time (s)", "0 30 60", (0, 30, 60), ""), ("t (min)", "0 1 2", (0, 60, 120), ""),
    ("Time", "0 1 2", NO, "no unit")]
TUB_OXYGEN = [
    ("DO (%)", (5, 40, 80), "%", "turned into mg/L"), ("DO (mL/L)", (1, 2, 5), (ML, 2 * ML, 5 * ML), "mL/L"),
    ("DO (umol/L)", (10, 100, 200), (10 * UMOL, 100 * UMOL, 200 * UMOL), "umol/L"), ("DO (ug/L)", (100, 2000, 5000),
    (0.1, 2, 5), "ug/L"),
    ("DO", (1, 2, 3), NO, "no unit"), ("DO (kPa)", (1, 2, 3), NO, "kpa"), ("DO (mg/L)", (1, -3, 3),
    (1, 3), "Row 3 was left out"),
    ("DO (mg/L)", (1, 3000, 3), (1, 3), "Row 3 was left out: the oxygen is 3000 mg/L, outside"),
    ("DO (mg/L)", (1, 2, 3), (1, 2, 3), ""),
    ("DO (%),DO (mg/L)", ("9,1", "18,2", "27,3"), (1, 2, 3), "'DO (%)' was left out")]
TUB_TYPED = [
    ("1,000 2\n2,000 3", NO, "thousands or decimals"), ("0 1\n2 2\n1 3", NO, "goes back"), ("0 1\n1 300", NO, "mg/L"),
    ("0 -5\n1 2", NO, "mg/L"), ("0:30 1\n1:00 2", NO, "the time and the oxygen reading"),
    ("0 1 2\n1 2 3", NO, "the time and the oxygen reading"),
    ("0 1\n0,5 1,5", (1, 1.5), ""), ("0;1\n1;2", (1, 2), "")]

# a column of the owner's log and two readings -> field and values
LOGBOOK = [
    *((heading, (20, 20), NO, ABS) for heading in ("gauge pressure (psia)", "absolute pressure (psi)",
        "gauge pressure psi abs",
                                                   "pressure (bar a)", "abs. pressure (psi)", "gauge (kPa abs)")),
    ("gauge pressure (psig)", (7, 7), ("pressure_gauge", 7 * 6894.757), ""), ("gauge (bar)", (0.5, 0.5),
    ("pressure_gauge", 5e4), ""),
    ("barometric pressure (kPa)", (101, 101), NO, "no column"), ("air pressure (psi)", (14.7, 14.7), NO, "no column"),
    ("top DO (mL/L)", (5, 5), ("top_oxygen", 5 * ML), "mL/L"), ("top oxygen (umol/L)", (250, 250),
    ("top_oxygen", 250 * UMOL), ""),
    ("top oxygen", (8, 8), ("top_oxygen", 8), "no unit"), ("top DO (% sat)", (90, 90), NO, "temperature"),
    ("top oxygen (kPa)", (8, 8), NO, "kpa"), ("bottom DO (ppb)", (500, 500), ("bottom_oxygen", 0.5), "ug/L"),
    ("top oxygen (mg/L)", (95, 95), NO, "outside"), ("top oxygen (mg/L)", (8, "<0.2"), NO, "'<0.2', not a number"),
    ("gauge (psi)", (7, "48 kPa"), ("pressure_gauge", 7 * 6894.757), "'48 kPa', in a column of psi"),
    ("gauge (psi)", (7, "7 psia"), NO, ABS),
    ("gauge (psi)", ("7 psi", 7), ("pressure_gauge", 7 * 6894.757), ""),
    ("gauge (psi)", (7, "n/a"), ("pressure_gauge", 7 * 6894.757), ""),
    ("gauge 1 (psi),gauge 2 (psi)", ("7\",\"8", "7\",\"8"), NO, "two columns give the gauge pressure"),
    ("hour meter (h)", ("1,250", "1,418"), NO, "thousands or decimals")]
LOGBOOK_DATES = [
    ("2096-05-01|2026-05-08", NO, "still to come"),
    ("01/07/2025|08/07/2025|12/07/2025", NO, "month first or the day first"),
    ("6/1/2025|7/1/2025|8/1/2025", NO, "Write the year first"), ("4/5/26|4/12/26", (0, 7), "month stands first"),
    ("25/12/2025|26/12/2025", NO, "day first"), ("7|8", NO, "not a date"), ("July 8|July 9", NO, "not a date")]

# headings and one row, every three hours for three days -> air temperature C and wind m/s
WEATHER = [
    ("air temp (F),indoor humidity (%),outdoor humidity (%),wind (mph)", "77,40,60,10", (25, 4.4704), ""),
    ("indoor temp (F),outdoor temp (F),wind (mph),humidity (%)", "60,77,10,60", (25, 4.4704), "'indoor temp"),
    ("air temp (F),wind (mph),wind chill (F),humidity (%)", "77,10,60,60", (25, 4.4704), ""),
    ("air temp (F),wind gust (mph),wind speed (mph),humidity (%)", "77,20,10,60", (25, 4.4704), ""),
    ("air temp (F),wind gust (mph),humidity (%)", "77,20,60", NO, "gusts"),
    ("air temp (F),wind direction (deg),wind (mph),rh (%)", "77,180,10,60", (25, 4.4704), ""),
    ("water temperature (F),air temperature (F),wind (mph),humidity (%)", "60,77,10,60", (25, 4.4704),
     "'water temperature"),
    ("water temperature (F),wind (mph),humidity (%)", "77,10,60", NO, "not the temperature of the air"),
    ("soil temp (F),wind (mph),humidity (%)", "77,10,60", NO, "not the temperature of the air"),
    ("dew point temp (F),air temp (F),wind (mph)", "60,77,10", (25, 4.4704), ""),
    ("air temp (F),wind (mph),humidity (%)", "77,10,0.6", NO, "write it as 60"),
    ("air temp (F),wind (mph),humidity (%),cloud (%)", "77,10,60,0.5", NO, "write it as 60"),
    ("air temp (C),wind (mph),humidity (%)", "77,10,60", NO, "°F and marked °C"),
    ("air temp,wind (mph),humidity (%)", "77,10,60", NO, "no unit"),
    ("air temp (F),wind,humidity (%)", "77,10,60", NO, "no unit"),
    ("air temp (F),wind (knots),humidity (%)", "77,10,60", (25, 18520 / 3600), ""),       # a knot is 1,852 m an hour
    ("air temp (F),wind (furlongs),humidity (%)", "77,10,60", NO, "no unit")]

# lines of a data sheet -> psi and cfm of the first point
CURVE = [
    *((text, NO, ABS) for text in (
        "15 psia, 4 cfm\n20 psia, 3 cfm", "pressure (psia), flow (cfm)\n15, 4\n20, 3",
            "pressure (bar a); flow (L/min)\n1,2;100\n1,5;90",
        "pressure psi absolute, flow cfm\n15, 4\n20, 3", "4 cfm at 19.7 psi abs\n3 cfm at 24.7 psi abs")),
    ("5 psig, 4 cfm\n10 psig, 3 cfm", (5, 4), ""), ("pressure (psig), flow (cfm)\n5, 4\n10, 3", (5, 4), ""),
    ("0 psi, 460000 cfm\n5 psi, 4 cfm", NO, "1,000 cfm"), ("5 psi, 4 cfm\n5000 psi, 3 cfm", NO, "150 psi"),
    ("35 kPa; 1,250 L/min\n70 kPa; 1,100 L/min", NO, "thousands or decimals"),
    ("35 kPa, 4,5 cfm\n70 kPa, 3,5 cfm", NO, "semicolon"),
    ("0,7 bar; 4,5 cfm\n0,9 bar; 4,0 cfm", (0.7e5 / 6894.757, 4.5), ""), ("5, 4\n10, 3", NO, "no unit"),
    ("5 psi, 4 Nm3/h\n6 psi, 3 Nm3/h", NO, "0 °C in some places"),
    ("5 psi, 30 gpm\n10 psi, 25 gpm", NO, "flow of water"),
    ("pressure (psi), flow (gpm)\n5, 30\n10, 25", NO, "of water"),
    ("5 psi, 250 gal/h\n10 psi, 200 gal/h", NO, "flow of water"), ("5 psi, 4 cfs\n10 psi, 3 cfs", NO, "flow of water")]
RUNS = [
    ("250 ft; 0,625 in", (250, 0.625), ""), ("250 ft, 0,625 in", NO, "Line 1"),
    ("1,500 ft, 0.824 in", (1500, 0.824), ""),
    ("250 ft, 1,5 in", NO, "Line 1"), ("250, 0.8", NO, "no unit"), ("250 ft, 8'6\"", NO, "outside")]

# rows of depths in the form, in a pond whose deepest place is 17 ft -> mean depth of the first row as the form says it
DEPTHS = [
    *((text, "4.4 ft", "") for text in (            # (5 + 8.5 + 4) / 4 spaces = 4.375 ft by the end areas of a row
        "0, 5, 8.5, 4, 0 ft", "0 ft, 5 ft, 8'6\", 4 ft, 0 ft", "0, 5 ft, 102 in, 4 ft, 0", "0, 5, 102 in, 4, 0 ft",
        "0, 5, 102 in, 4, 0, ft", "0; 5; 8,5; 4; 0 ft", "0\t5\t8.5\t4\t0 ft", "0, 60, 102, 48, 0 in",
        "0, 5, 8½, 4, 0 ft", "0, 5, 8 1/2, 4, 0 ft", "0, 5 ft, 8’6”, 4 ft, 0", "0\n5\n8.5\n4\n0 ft",
            "0 ft, 5, 8.5, 4, 0")),
    *((text, "4.4 ft", "without a unit, such as 5, were read in ft") for text in (
        "0, 5, 8'6\", 4, 0", "0, 5, 8 ft 6 in, 4, 0", "0, 5, 8' 6\", 4, 0", "0, 5, 8′6″, 4, 0", "0\n5\n8'6\"\n4\n0")),
    ("0, 5, 102 in, 4, 0", NO, "'5' has no unit"), ("0, 5, 8, 102 in", NO, "'5' has no unit"),
    ("0, 5, 8, 4, 0", NO, "'5' has no unit"),
    ("0, 3, 6 ft, 2 m, 0", NO, "'3' has no unit"),
    ("0, 5, 8 ft, 4, 0\n0, 3, 4 m, 2, 0\n0, 2, 2, 2, 0", NO, "row 3: '2' has no unit"),
    ("13, , 6.5 ft", NO, "row 1 has nothing in place 2, between 13 and 6.5 ft"),
    ("0, 5, 8 ft, 4, 0\n0, 5, , 4, 0", NO, "row 2 has nothing in place 3"),
    (", 5, 8, 4, 0 ft", NO, "place 1"), ("0, 5, 8, 4 ft,", NO, "place 5"), ("0;5;;4;0 ft", NO, "place 3"),
    ("0\n5 ft\n\n4\n0", NO, "empty line"),
    ("0, 5, 85, 4, 0 ft", NO, "85.0 ft, in row 1, place 3.*8.50 ft"), ("0, 5, 8.5, 4, 0 m", NO, "8.5|27.9 ft"),
    ("0, 2,5, 3,1, 2,0, 0 m", NO, "point for decimals"), ("2,5 m\n3,1 m", NO, "one depth or two"),
    ("0, 5, -8, 4, 0 ft", NO, "below zero"), ("0\t5\t8\t4 ft\t", NO, "place 5"),
    ("0  5  8  4 ft", NO, "one number or two"),
    ("# east to west\n0, 5, 8.5, 4, 0 ft", "4.4 ft", ""),
    ("0, 5, 5'14\", 4, 0 ft", NO, "foot has 12"), ("0, 5, 7 to 9, 4, 0 ft", NO, "two numbers"),
    ("0 5 8 4 0 ft", NO, "one number or two"),
    ("0, 5, 8 lb, 4, 0 ft", NO, "not a depth"), ("0, five, 8, 4, 0 ft", NO, "start with a number")]

# heading of the depths, deepest as written -> deepest, m
SOUNDINGS = [
    ("depth_ft", "8.5", 8.5 * 0.3048, ""), ("depth_in", "102", 102 * 0.0254, ""), ("depth_cm", "259", 2.59, ""),
    ("depth_in", "8.5", 8.5 * 0.0254, "unit right.*feet.*8.50 ft"), ("depth_cm", "8.5", 0.085, "unit right.*feet"),
    ("depth_mm", "8.5", 0.0085, "unit right"), ("depth_ft", "2.5", 2.5 * 0.3048, "unit right.*meters"),
    ("depth_m", "8.5", 8.5, "Feet or meters"),
    ("depth (ft)", "8'6\"", 8.5 * 0.3048, ""), ("depth (ft)", "8½", 8.5 * 0.3048, ""),
    ("depth (ft)", "8 1/2", 8.5 * 0.3048, ""),
    ("depth (ft)", "102 in", 8.5 * 0.3048, ""), ("depth (fathoms)", "8.5", NO, "no unit"),
    ("depth", "8.5", NO, "no unit.*depth .ft."),
    ("depth (ft)", "100 ft 2", 6.25 * 0.3048, "second number"),
    ("depth (ft)", "5 ft 14 in", 6.25 * 0.3048, "foot has 12"),
    ("depth (ft)", "85", 6.25 * 0.3048, "decimal point slipped"),
    ("secchi depth_ft,depth_ft", "2,8.5", NO, "two columns")]

KINDS = [
    (b"%PDF-1.4\na,b\n1,2\n", "PDF"), (b"\xef\xbb\xbf%PDF-1.4\na,b\n", "PDF"), (b"{\\rtf1\\ansi a,b\n1,2}", "RTF"),
    (b"<?xml version='1.0'?>\n<kml xmlns='x'>\n<a>1,2</a></kml>", "KML"), (b"<kml>1,2</kml>", "KML"),
    (b"<?xml version='1.0'?><gpx>", "GPX"),
    (b"<?xml version='1.0'?>\n<Workbook>\n<a>1,2</a></Workbook>", "XML"), (b"<!DOCTYPE html>\n<html>1,2", "web page"),
    (b"PK\x03\x04abc", "spreadsheet workbook"), (b"\xd0\xcf\x11\xe0abc", "spreadsheet workbook"),
    (b'{"type": "Feature",\n"a": 1}', "JSON"),
    (b"\x89PNG\r\n\x1a\n", "picture"), (b"\xff\xd8\xff\xe0", "picture"), (b"\x1f\x8b\x08abc", "packed")]
