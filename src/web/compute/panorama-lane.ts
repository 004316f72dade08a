/** The page's side of the panorama's worker: one question at a time, the newest wins, the picture before the light. */
import { UserError } from '../../core/units/index.ts';
import type { Failure } from './messages.ts';
import type {
  LightAnswer,
  LightAsk,
  PanoramaAsk,
  PanoramaPlace,
  PanoramaTold,
  PanoramaView,
  PanoramaWay,
  ViewAsk,
} from './panorama-messages.ts';

export interface PanoramaLane {
  place(place: PanoramaPlace): void;
  ways(key: string, ways: readonly PanoramaWay[]): void;
  view(ask: ViewAsk): void;
  light(ask: LightAsk): void;
}

export interface PanoramaHear {
  view(view: PanoramaView): void;
  light(light: LightAnswer): void;
  failed(what: 'view' | 'light', error: Error): void;
}

const errorOf = (failure: Failure): Error =>
  'problems' in failure ? new UserError(failure.problems) : new Error(failure.fault);

/** Answers come to `hear`; a question that waits gives way to the next of its kind. The worker starts with the first place. */
export function panoramaLane(hear: PanoramaHear): PanoramaLane {
  let worker: Worker | undefined;
  let busy = false;
  let view: ViewAsk | undefined;
  let light: LightAsk | undefined;
  const post = (ask: PanoramaAsk) => worker?.postMessage(ask);
  const next = () => {
    if (busy || worker === undefined) return;
    if (view !== undefined) {
      post({ view });
      view = undefined;
    } else if (light !== undefined) {
      post({ light });
      light = undefined;
    } else return;
    busy = true;
  };
  const start = () => {
    worker = new Worker(new URL('./panorama-worker.ts', import.meta.url), { type: 'module' });
    worker.addEventListener('message', ({ data }: MessageEvent<PanoramaTold>) => {
      busy = false;
      next();
      if ('view' in data) hear.view(data.view);
      else if ('light' in data) hear.light(data.light);
      else hear.failed(data.failed, errorOf(data.failure));
    });
    worker.addEventListener('error', (event) => {
      worker?.terminate();
      worker = undefined;
      busy = false;
      hear.failed('view', new Error(event.message || 'the worker could not be started'));
    });
  };
  return {
    place(place) {
      if (worker === undefined) start();
      view = undefined;
      light = undefined;
      post({ place });
    },
    ways: (key, ways) => post({ ways, key }),
    view(ask) {
      view = ask;
      next();
    },
    light(ask) {
      light = ask;
      next();
    },
  };
}
