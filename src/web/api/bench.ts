/** Calls of the bench. */
import type { CostOverview } from '../../app/bench/cost-overview.ts';
import type { BatchPage, BenchFront } from '../../app/bench/front.ts';
import type { SeverityLook } from '../../app/bench/inspection.ts';
import type { BatchPapersOutcome } from '../../app/bench/market-papers.ts';
import type { OrderingOutcome } from '../../app/bench/ordering.ts';
import type { QualityOutcome } from '../../app/bench/quality.ts';
import type { FindOutcome } from '../../app/bench/search.ts';
import type { ShipCheck } from '../../app/bench/ship-check.ts';
import type { Inspection, KeptEvidence, Movement } from '../../app/bench/state.ts';
import type { RecallOutcome, StoresOutcome } from '../../app/bench/stores.ts';
import type { UnitPage } from '../../app/bench/unit-page.ts';
import type { CostRequest } from '../../records/bench/cost-request.ts';
import type { BenchDeedAnswer, BenchForecast, JobStatus, OrderPlaceAnswer, OrderPlaces } from '../../server/api.ts';
import { call } from './client.ts';

export interface LotPage {
  readonly recall: RecallOutcome;
  readonly movements: readonly (Movement & { readonly left: number })[];
  readonly inspections: readonly Inspection[];
  /** How strictly the next lot of this part from this supplier is looked at. */
  readonly next: SeverityLook;
}

const at = (text: string) => encodeURIComponent(text);
export const getBench = () => call<BenchFront>('GET', '/bench');
export const getBatch = (key: string) => call<BatchPage>('GET', `/bench/batches/${at(key)}`);
export const getUnit = (serial: string) => call<UnitPage>('GET', `/bench/units/${at(serial)}`);
const forecastOf = (serial: string) => `/bench/units/${at(serial)}/forecast`;
export const getForecast = (serial: string) => call<BenchForecast>('GET', forecastOf(serial));
export const beginForecast = (serial: string) => call<JobStatus>('POST', forecastOf(serial), {});
export const getStores = () => call<StoresOutcome>('GET', '/bench/stores');
export const getLot = (lot: string) => call<LotPage>('GET', `/bench/lots/${at(lot)}`);
export const getQuality = (batch: string) => call<QualityOutcome>('GET', `/bench/quality/${at(batch)}`);
export const getFound = (text: string) => call<FindOutcome>('GET', `/bench/find?text=${at(text)}`);
export const getOrdering = (plan: string, units: number, region: string, due: string) =>
  call<OrderingOutcome>(
    'GET',
    `/bench/orders/${at(plan)}?units=${units}${region === '' ? '' : `&region=${region}`}${due === '' ? '' : `&due=${due}`}`,
  );
export const getPlaces = () => call<OrderPlaces>('GET', '/bench/places');
export const getOrderPlace = (order: string) => call<OrderPlaceAnswer>('GET', `/bench/orders/${at(order)}/place`);
/** Begins the check of an order's place. */
export const checkOrderPlace = (order: string) => call<JobStatus>('POST', `/bench/orders/${at(order)}/place`, {});
export const getLeaving = (serial: string, asked: Readonly<Record<string, string>>) =>
  call<ShipCheck>('GET', `/bench/units/${at(serial)}/leaving?${new URLSearchParams(asked)}`);
export const getMarketPapers = (key: string) => call<BatchPapersOutcome>('GET', `/bench/market/${at(key)}`);
/** Where a kept file is saved from. */
export const evidenceAddress = (batch: string, sha256: string) => `/api/bench/evidence/${at(batch)}/${sha256}`;
export const sendEvidence = (body: Readonly<Record<'batch' | 'paper' | 'name' | 'base64' | 'by' | 'token', string>>) =>
  call<{ readonly evidence: KeptEvidence; readonly again: boolean }>('POST', '/bench/evidence', body);
export const askForCost = (question: CostRequest & { readonly ask: 'overview' }) =>
  call<CostOverview>('POST', '/bench/cost', question);
/** Where the drawing or photo of a step is shown from. */
export const drawingAddress = (plan: string, step: string, sha256: string) =>
  `/api/bench/drawings/${at(plan)}/${at(step)}/${sha256}`;
export const sendDrawing = (body: Readonly<Record<'plan' | 'step' | 'name' | 'base64' | 'by' | 'token', string>>) =>
  call<{ readonly again: boolean }>('POST', '/bench/drawings', body);
export const sendDeed = (body: Readonly<Record<string, unknown>>) =>
  call<BenchDeedAnswer>('POST', '/bench/deeds', body);
