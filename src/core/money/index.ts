export type { Amount } from './amount.ts';
export {
  addAmounts,
  amount,
  amountText,
  convertAmount,
  parseAmount,
  percentOf,
  scaleAmount,
  spreadAmount,
  subtractAmounts,
  sumAmounts,
} from './amount.ts';
export { currencyDigits, isCurrency } from './currencies.ts';
export type { Rounding } from './decimal.ts';
export { roundDecimal } from './decimal.ts';
export type { DemandLaw } from './demand.ts';
export { demandAhead, demandMean, demandQuantile, empiricalDemand, guessedDemand, poissonDemand } from './demand.ts';
export type { LearningCurve, LearningModel } from './learning.ts';
export { fitLearning, learningMean, learningTotal, learningUnit } from './learning.ts';
export type { StockOutcome, StockTerms } from './newsvendor.ts';
export { criticalRatio, newsvendor, newsvendorNormal } from './newsvendor.ts';
export type { SellingFees, SupplyOption } from './price.ts';
export {
  breakEvenUnits,
  crossoverQuantity,
  feesOn,
  leastPrice,
  marginAfterFees,
  marginOf,
  marginOfSafety,
  markupOf,
  optionCost,
  paybackYears,
  presentValue,
  priceForMargin,
  priceToKeep,
  withTax,
} from './price.ts';
export type { LandedCost, LandedLine, OrderRules, PriceBreak, Purchase } from './prices.ts';
export { breakAt, cheapestPurchase, landedCosts, lineCost, lotCost, orderable } from './prices.ts';
export type { EconomicOrder, LeadDemand, ReorderPoint } from './reorder.ts';
export { economicOrder, economicOrderWithBreaks, reorderPoint, sparesFor } from './reorder.ts';
export type { CostItem, CostRow, RollUp } from './rollup.ts';
export { piecesFor, rollUp } from './rollup.ts';
export type {
  BatchAnswer,
  BatchQuestion,
  ToolAnswer,
  ToolQuestion,
  Uncertain,
  UncertainOption,
} from './simulate.ts';
export { batchProfit, drawUncertain, toolOrBought } from './simulate.ts';
export type { TypicalTime } from './times.ts';
export { medianLine, trimmedMean, typicalTime, withinFences } from './times.ts';
