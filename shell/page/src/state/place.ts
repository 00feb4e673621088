/* The places of a job: one is shown at a time. */
export const STRETCHES = ['site', 'fit', 'settings', 'day', 'what', 'proof', 'advice', 'log', 'papers'] as const;
export type StretchName = (typeof STRETCHES)[number];
