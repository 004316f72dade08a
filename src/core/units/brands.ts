/** A number that carries the name of its unit in the type, so that two units cannot be swapped by mistake. */
export type Branded<Tag extends string> = number & { readonly __unit: Tag };
export type Degrees = Branded<'deg'>;
export type Radians = Branded<'rad'>;
export type WattHours = Branded<'Wh'>;
export type AmpereHours = Branded<'Ah'>;

export const degrees = (value: number): Degrees => value as Degrees;
export const radians = (value: number): Radians => value as Radians;
export const wattHours = (value: number): WattHours => value as WattHours;
export const ampereHours = (value: number): AmpereHours => value as AmpereHours;
/** Degrees to radians. */
export const toRadians = (angle: Degrees): Radians => (angle * (Math.PI / 180)) as Radians;
/** Radians to degrees. */
export const toDegrees = (angle: Radians): Degrees => (angle * (180 / Math.PI)) as Degrees;
