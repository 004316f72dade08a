export { codeText, SERIAL_MARK } from './code-text.ts';
export type { Content, ContentKind, ContentOf, Entry, NewEntry, StreamKind } from './entry.ts';
export {
  asItHappened,
  belongs,
  bySchema,
  contentSchema,
  entrySchema,
  keptFileOf,
  STREAMS,
  streamKey,
  streamKind,
  streamOf,
} from './entry.ts';
export { EVIDENCE_MOST_bytes } from './evidence-limit.ts';
export type { PartInFile } from './files.ts';
export { readParts, readPlan } from './files.ts';
export type { Gate, Measure } from './gate.ts';
export { gateSchema, MEASURES } from './gate.ts';
export type { LabelLayout, LabelRoll, LabelSheet } from './label-layout.ts';
export { labelLayoutSchema, readLabelLayout } from './label-layout.ts';
export { keptBackAfter } from './lot-state.ts';
export type { PaperRequest, PaperRequestOf } from './paper-request.ts';
export { paperRequest } from './paper-request.ts';
export type {
  Carton,
  Certificate,
  CertificateGate,
  GateVerdict,
  Label,
  PackingList,
  QrLevel,
  QuickStart,
} from './papers.ts';
export type { PassportPart } from './passport-parts.ts';
export { PASSPORT_PARTS } from './passport-parts.ts';
export type { Plan } from './plan.ts';
export { planFindings, planSaved, stepSchema } from './plan.ts';
export type { Band } from './region-radio.ts';
export { bandOfRegion, mostPower_dBm } from './region-radio.ts';
export type { DeedName, DeedRequest } from './requests.ts';
export { deedRequest } from './requests.ts';
export type { ReturnCause } from './return-causes.ts';
export { RETURN_CAUSES } from './return-causes.ts';
export type { Offer } from './stores.ts';
export { offerSchema, PART_KINDS } from './stores.ts';
export type { Fitted, GateState, GateTry, Override, StepTick, UnitStage, UnitState } from './unit-state.ts';
export { countingTry, foldUnit, gateState, openGates, reasonsNotToShip, unitOf } from './unit-state.ts';
export type { EvidenceType, UnitField } from './units.ts';
export { DRAWING_TYPES, EVIDENCE_TYPES, PREFIX, REGIONS, UNIT_FIELDS } from './units.ts';
export type { RadioSettingOf, Variant, VariantAntenna, VariantRadio } from './variant.ts';
export { antennaOf, radioOf, settingOfVariant, variantOf } from './variant.ts';
export { hasVariantFor, planForRegion, servedBy } from './variant-plan.ts';
export { currency, day, key, minor, moment, person, serial } from './words.ts';
