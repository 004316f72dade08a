/** What the page and the worker that reads codes say to each other. */

export interface CodeAsk {
  /** Red, green, blue, alpha of each pixel, row by row. */
  readonly pixels: ArrayBuffer;
  readonly width: number;
  readonly height: number;
}

export interface CodeTold {
  readonly text: string | null;
}
