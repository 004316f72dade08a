export { ageingChart, ageingSentence } from './ageing.ts';
export type { BatchGridInput, GridCell, GridLayout, GridUnit, UnitStanding } from './batch-grid.ts';
export { batchGrid, batchGridLayout, batchGridSentence, standingShape, UNIT_STANDINGS } from './batch-grid.ts';
export type { BreakEvenPicture } from './break-even-chart.ts';
export { breakEvenChart, breakEvenSentence, breakEvenWidest } from './break-even-chart.ts';
export { carpetPlot, carpetSentence } from './carpet.ts';
export type { CompareColumn, CompareInput } from './compare-page.ts';
export { compareDocument, comparePage } from './compare-page.ts';
export type { ControlChartInput } from './control-chart.ts';
export {
  controlChart,
  controlChartFrame,
  controlChartRange,
  controlChartSentence,
  controlChartX,
} from './control-chart.ts';
export type { CostPageInput, CostTable } from './cost-page.ts';
export { costDocument } from './cost-page.ts';
export type { CrossoverPicture } from './crossover-chart.ts';
export { crossoverAt, crossoverChart, crossoverSentence } from './crossover-chart.ts';
export type { Fonts } from './css.ts';
export { fanChart, fanSentence } from './fan.ts';
export type { Figures, Measure } from './figures.ts';
export { FIGURES } from './figures.ts';
export { frontierChart, frontierSentence } from './frontier.ts';
export { harvestChart, harvestSentence } from './harvest.ts';
export type { State } from './key.ts';
export { stateSign } from './key.ts';
export type { Page } from './layout.ts';
export type { OperatingPicture } from './operating-chart.ts';
export { operatingChart, operatingSentence } from './operating-chart.ts';
export type { ReportInput } from './page.ts';
export { changeSentence, reportDocument, reportPage } from './page.ts';
export { chanceColour, chargeColour, contrastRatio, paletteColour } from './palette.ts';
export type { PanoramaInput, PanoramaMonth, PanoramaOther, PanoramaPanel, Sight } from './panorama.ts';
export { panorama, panoramaPanels, panoramaSentence } from './panorama.ts';
export type { ParetoPicture, ParetoPoint } from './pareto.ts';
export { paretoChart, paretoRange, paretoSentence, stairOf } from './pareto.ts';
export type { Passport, PassportGate, PassportLot } from './passport-page.ts';
export { passportPage, passportSentence } from './passport-page.ts';
export type { ProfileEnd, ProfilePicture } from './profile-chart.ts';
export { profileChart } from './profile-chart.ts';
export type { ProfitPicture } from './profit-chart.ts';
export { profitBars, profitChart, profitSentence } from './profit-chart.ts';
export type { Pixels, ReachField } from './reach-image.ts';
export { marginColour, reachImage, reachPicture } from './reach-image.ts';
export type { LimitLine, PagePlace, PageRole, ReachPageInput, ShareRow } from './reach-page.ts';
export { reachDocument, reachPage } from './reach-page.ts';
export { spellsChart, spellsSentence } from './spells.ts';
export type { StripOptions } from './strip.ts';
export { stripDescription, yearStrip } from './strip.ts';
export type { SunPathInput } from './sunpath.ts';
export { sunPathChart, sunPathReader, sunPathSentence } from './sunpath.ts';
export type { PictureOptions } from './svg.ts';
export { escapeText } from './svg.ts';
export type { SweepCurve, SweepPicture } from './sweep-chart.ts';
export { sweepChart, sweepSentence } from './sweep-chart.ts';
export type { TrendPicture, TrendRow } from './trend-chart.ts';
export { trendChart } from './trend-chart.ts';
export type { WherePlace, WhereVerdict } from './where-map.ts';
export { WHERE_VERDICTS, whereMap, wherePosition, whereSentence } from './where-map.ts';
export type { WhereInput, WhereRow } from './where-page.ts';
export { whereDocument, wherePage } from './where-page.ts';
export {
  formatFigures,
  formatHours,
  formatNumber,
  formatPosition,
  MONTH_NAMES,
  monthName,
  percent,
  shortMonth,
} from './words.ts';
