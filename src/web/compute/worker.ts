/** The one worker script: takes first looks, or runs a whole forecast. The page keeps an instance for either. */
import { planSite } from '../../app/site.ts';
import { yearOf } from '../../app/year.ts';
import { UserError } from '../../core/units/index.ts';
import type { Ask, Failure, QuickAsk, QuickTold, YearAsk, YearTold } from './messages.ts';
import { createQuick, FEW_YEARS, MANY_YEARS } from './quick.ts';

const quick = createQuick();

function failureOf(error: unknown): Failure {
  if (error instanceof UserError) return { problems: error.problems };
  return { fault: error instanceof Error ? (error.stack ?? error.message) : String(error) };
}

function look({ id, request, years }: QuickAsk): QuickTold {
  try {
    const many = years === 'many' || (years === 'best' && quick.isReady(request));
    return { id, answer: quick.answer(request, many ? MANY_YEARS : FEW_YEARS) };
  } catch (error) {
    return { id, ...failureOf(error) };
  }
}

const tell = (told: YearTold) => self.postMessage(told);

function year({ kit, perch, assumptions, years, seed, target }: YearAsk): YearTold {
  try {
    const plan = planSite(perch);
    const inputs = { kit, perch, plan, file: undefined, assumptions: [...assumptions, ...plan.assumptions] };
    return {
      result: yearOf(inputs, { years, seed, target }, (done, total, what) => tell({ progress: { done, total, what } })),
    };
  } catch (error) {
    return failureOf(error);
  }
}

self.addEventListener('message', ({ data }: MessageEvent<Ask>) => {
  self.postMessage('look' in data ? look(data.look) : year(data.year));
});
