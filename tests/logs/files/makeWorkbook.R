# Writes openxlsx.xlsx beside it: a workbook that another program has written, for tests/logs/xlsx.test.ts.
# Run with: Rscript makeWorkbook.R   (R 4.2 or later with openxlsx). The data are invented.
library(openxlsx)

runs <- data.frame(
  "Run No" = c("1", "2", "3"),
  "Tool SN" = c("K1-101", "K1-102", "K1-101"),
  "Run Start" = as.POSIXct(c("2024-01-03 10:00", "2024-01-04 10:30", "2024-02-03 07:45"), tz = "UTC"),
  "Run End" = as.Date(c("2024-01-07", "2024-01-08", "2024-02-06")),
  "Circ Hrs" = c(60.5, 55, 41.25),
  "Mud Type" = c("KCl polymer", "brine", "OBM"),
  "Sand (%)" = c(0.2, 0.15, NA),
  check.names = FALSE
)
rebuilds <- data.frame(
  "WO" = c("R1", "R1"),
  "Tool S/N" = "K1-101",
  "Teardown Date" = as.Date("2024-01-15"),
  "Part" = c("Lip seal", "Liner"),
  "Found" = c("FAILED", "OK"),
  "Defect" = c("abraded", NA),
  "Action" = c("Replaced", "Reused"),
  check.names = FALSE
)
options(openxlsx.datetimeFormat = "dd/mm/yyyy hh:mm", openxlsx.dateFormat = "dd/mm/yyyy")
book <- createWorkbook()
addWorksheet(book, "Runs")
writeData(book, "Runs", "ALDER FLEET", startRow = 1)
mergeCells(book, "Runs", cols = 1:7, rows = 1)
writeData(book, "Runs", runs, startRow = 3)
addWorksheet(book, "Rebuilds")
writeData(book, "Rebuilds", rebuilds)
mergeCells(book, "Rebuilds", cols = 2, rows = 2:3)
addWorksheet(book, "Notes")
writeData(book, "Notes", data.frame(what = "call KV", when = "soon"))
saveWorkbook(book, "openxlsx.xlsx", overwrite = TRUE)
