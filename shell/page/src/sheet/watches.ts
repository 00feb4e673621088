/* The forms of watches that advice chooses from, as the core calls them: a controller may lack some. tests/page/sheet.test.mjs holds the
 * list against the core's own. */
export const WATCH_FORMS = ['starts', 'starts at night', 'starts in a row', 'running', 'running at night', 'no flow', 'current below', 'current above',
  'pressure below', 'pressure above'] as const;
