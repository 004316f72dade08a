import type { Command } from 'commander';
import { registerSize } from './size.ts';
import { registerWhere } from './where.ts';
import { registerYear } from './year.ts';

/** Registers every command; their work is loaded only when one runs. */
export function registerAll(program: Command): void {
  registerYear(program);
  registerSize(program);
  registerWhere(program);
}
