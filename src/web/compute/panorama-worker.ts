/** The worker of the panorama: holds the ground around a place and answers for any height, day and turn of the panel. */
import { UserError } from '../../core/units/index.ts';
import type { Failure } from './messages.ts';
import { createPanorama } from './panorama.ts';
import type { PanoramaAsk, PanoramaTold } from './panorama-messages.ts';

const panorama = createPanorama();
const tell = (told: PanoramaTold) => self.postMessage(told);

function failureOf(error: unknown): Failure {
  if (error instanceof UserError) return { problems: error.problems };
  return { fault: error instanceof Error ? (error.stack ?? error.message) : String(error) };
}

self.addEventListener('message', ({ data }: MessageEvent<PanoramaAsk>) => {
  if ('place' in data) panorama.setPlace(data.place);
  else if ('ways' in data) panorama.setWays(data.key, data.ways);
  else {
    const what = 'view' in data ? 'view' : 'light';
    try {
      tell('view' in data ? { view: panorama.view(data.view) } : { light: panorama.light(data.light) });
    } catch (error) {
      tell({ failed: what, failure: failureOf(error) });
    }
  }
});
