export type { AskRequest } from './ask.ts';
export { askQueue } from './ask.ts';
export type { WorkRequest } from './work.ts';
export { workQueue } from './work.ts';
