export type { Random } from './random.ts';
export { createRandom } from './random.ts';
