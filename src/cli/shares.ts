import { InvalidArgumentError } from 'commander';
import { number } from './options.ts';

/** Figures between 0 and 1, separated by commas. */
export function sharesOf(text: string): number[] {
  return text.split(',').map((part) => {
    const value = number(part.trim());
    if (!(value >= 0 && value <= 1)) throw new InvalidArgumentError(`'${part.trim()}' is no share between 0 and 1.`);
    return value;
  });
}

/** Whole numbers from nought, separated by commas. */
export function countsOf(text: string): number[] {
  return text.split(',').map((part) => {
    const value = number(part.trim());
    if (!(Number.isInteger(value) && value >= 0))
      throw new InvalidArgumentError(`'${part.trim()}' is not a whole number from 0.`);
    return value;
  });
}
