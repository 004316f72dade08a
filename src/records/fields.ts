/** Building blocks of the schemas: numbers with limits and a sentence, lists by month, defaults that are told. */
import * as z from 'zod';

export type Mode = 'plain' | 'full';

/** Why a default holds, and in which mode of the kit it matters; kept beside the schema it belongs to. */
export const fallbacks = z.registry<{ readonly why: string; readonly only?: Mode }>();

type Hint = (value: number) => string | undefined;

/**
 * A number with limits, both allowed. `what` completes "…: {what} lies between LOW and HIGH"; the hint names the likely slip.
 * The one table of limits of a field: checks, JSON Schema and messages all come from here.
 */
export function within(what: string, low: number, high: number, hint?: Hint) {
  const error = (issue: { readonly input?: unknown }) => {
    const more = typeof issue.input === 'number' ? hint?.(issue.input) : undefined;
    return `${what} lies between ${low} and ${high}${more === undefined ? '' : `; ${more}`}`;
  };
  return z.number().min(low, { error }).max(high, { error });
}

/** Hint for a share that was written in per cent. */
export const asShare: Hint = (value) => (value > 1 && value <= 100 ? `write ${value} % as ${value / 100}` : undefined);

/** A whole number with limits. */
export function countOf(what: string, low: number, high: number) {
  const whole = within(what, low, high);
  return whole.int({ error: `${what} is a whole number` });
}

/** A state of charge, 0 empty to 1 full. */
export const soc = (what: string) => within(what, 0, 1, asShare);

/** Text of a name: not empty, on one line. */
export const label = () =>
  z
    .string()
    .min(1, { error: 'a name has at least one letter' })
    .max(200, { error: 'a name has at most 200 characters' });

/** Twelve values, January first. */
export function monthly<S extends z.ZodType>(value: S) {
  return z.array(value).length(12, { error: 'wanted 12 values, January to December' });
}

/** Share of the sunlight that passes: one number, or twelve rows (months) of 24 (hours of local standard time). */
export const shade = () =>
  z
    .union([
      within('the share of light that passes', 0, 1, asShare),
      monthly(
        z
          .array(within('the share of light that passes', 0, 1, asShare))
          .length(24, { error: 'wanted 24 values, one for each hour from 0 to 23' }),
      ),
    ])
    .describe(
      'Share of the sunlight that passes trees and the like: one number (1 all, 0 none), or 12 rows (months) of 24 (hours, local standard time)',
    );

/** A field with a default that is told as an assumption, with its reason. */
export function assumed<S extends z.ZodType>(schema: S, value: z.output<S>, why: string, only?: Mode) {
  const whole = schema.default(value as never);
  fallbacks.add(whole, only === undefined ? { why } : { why, only });
  return whole;
}

/** Name of a generic part whose fields are the base. */
export const partName = (of: string) =>
  z.string().optional().describe(`Generic part to start from (${of}); fields given beside it override the part's own`);

/** Tilt and azimuth of a plane; shared by panel and perch. */
export const tilt_deg = () =>
  within('a tilt', 0, 90, (value) => (value > 90 && value <= 360 ? 'did you mean azimuth_deg?' : undefined));
export const azimuth_deg = () =>
  within('an azimuth, clockwise from north,', 0, 360, (value) =>
    value < 0 && value >= -180 ? `${value} is the same as ${value + 360}` : undefined,
  );

/** What a cross-field check found: `path` is where the mend is to be made. */
export interface Finding {
  readonly code: string;
  readonly path: (string | number)[];
  readonly message: string;
}

/** Wraps checks over several fields so that they run even when single fields are wrong too: all problems are told at once. */
export function crossChecks<T>(check: (value: unknown) => readonly Finding[]) {
  return z.superRefine<T>(
    (value, context) => {
      for (const { code, path, message } of check(value)) {
        context.addIssue({ code: 'custom', path, message, params: { code } });
      }
    },
    { when: () => true } as z.core.$ZodSuperRefineParams,
  );
}
