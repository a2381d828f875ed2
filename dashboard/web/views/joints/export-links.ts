import type { Manner } from '../../text/text.ts';

/** Addresses of what a joint is exported as; plain links, so that the browser saves what comes while it comes. */
export type PaperChoice = 'a4' | 'letter' | 'both';

export const PAPER_CHOICES: readonly PaperChoice[] = ['a4', 'letter', 'both'];

/** Reports in the language, units and decimal sign of this device; left out where they are the server's own. */
export function paperManner({ language, units, decimal }: Manner): Record<string, string> {
  return {
    ...(language === 'en' ? {} : { lang: language }),
    ...(units === 'metric' ? {} : { units }),
    ...(decimal === 'point' ? {} : { decimal }),
  };
}

/** Tables for spreadsheets that take a decimal comma: cells parted by semicolons. */
export const tableStyle = ({ decimal }: Manner): Record<string, string> =>
  decimal === 'point' ? {} : { decimal };

/** Letter where that is the paper people have (common practice, no source); both are one tap away. */
export function usualPaper(language: string): PaperChoice {
  return /^(en-US|en-CA|fr-CA|es-MX)$/i.test(language) ? 'letter' : 'a4';
}

export function jointExportUrl(
  joint: string,
  what: 'export.zip' | 'export.json' | 'passes.csv' | 'windows.csv' | 'deviations.csv' | 'events.csv',
  query: Readonly<Record<string, string>>,
): string {
  return `/api/v1/joints/${encodeURIComponent(joint)}/${what}?${new URLSearchParams(query)}`;
}

export function reportUrl(
  joint: string,
  paper: 'a4' | 'letter',
  query: Readonly<Record<string, string>>,
): string {
  return `/api/v1/joints/${encodeURIComponent(joint)}/report.pdf?${new URLSearchParams({ ...query, paper })}`;
}

export const papersOf = (paper: PaperChoice): ('a4' | 'letter')[] =>
  paper === 'both' ? ['a4', 'letter'] : [paper];
