import type { Command } from 'commander';
import { registerYear } from './year.ts';

/** Registers every command; their work is loaded only when one runs. */
export function registerAll(program: Command): void {
  registerYear(program);
}
