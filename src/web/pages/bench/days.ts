/** A day of the calendar, without a clock, as the reader's country writes it. */
export const dayShown = (day: string): string =>
  new Intl.DateTimeFormat(navigator.language, { dateStyle: 'medium', timeZone: 'UTC' }).format(
    new Date(`${day}T00:00:00Z`),
  );
