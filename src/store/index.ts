export type { OpenOptions } from './store.ts';
export { openStore } from './store.ts';
