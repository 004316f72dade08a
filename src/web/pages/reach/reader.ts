import { format, settings } from '../../state/settings.ts';
import type { Reader } from './words.ts';

/** How this reader writes numbers and lengths. */
export const reader = (): Reader => ({ format: format.value, display: settings.value });
