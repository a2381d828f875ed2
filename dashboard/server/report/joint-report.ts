/**
 * The report of one joint as a PDF. The same review gives the same bytes: its time is the newest moment in the
 * record, never the clock. Made as PDF/A-3b with the data attached; its structure is tested, it is not certified.
 */
import type { JointReview } from '#core/messages/api-review';
import { findings } from './findings-section.ts';
import type { NameOf } from './place-words.ts';
import { attach, openReport, type ReportDocument } from './report-document.ts';
import type { ReportManner } from './report-manner.ts';
import { events, identity, map, passTable, quality, times, verification } from './report-sections.ts';
import { utcText, WORDS } from './report-words.ts';
import type { Sheet } from './sheet.ts';
import { strips } from './strip-section.ts';

export interface ReportInput {
  readonly review: JointReview;
  /** The signed record of the joint, as it is verified; attached. */
  readonly record: { readonly text: string; readonly sha256: string } | null;
  /** One line for each seal, and how to check them. */
  readonly seals: readonly string[];
  /** Windows of every pass as CSV; attached. */
  readonly windowsCsv: string;
  readonly software: string;
  readonly paper: 'a4' | 'letter';
  readonly nameOf: NameOf;
  readonly manner: ReportManner;
}

/** Time of a report of which nothing is recorded yet. */
const BEFORE_ALL = '1970-01-01T00:00:00.000Z';

export async function jointReport(input: ReportInput): Promise<Buffer> {
  const { review, record, software } = input;
  const sealedAt = review.sealedAt ?? BEFORE_ALL;
  const at = new Date(sealedAt);
  const watermark = watermarkOf(review);
  const { paper, manner } = input;
  const title = WORDS.title(review.joint);
  const report = await openReport({ title, at, software, paper, watermark, manner });
  const { sheet } = report;
  draw(sheet, input);
  const { procedure } = review;
  const wps = procedure ? `${procedure.id} rev. ${procedure.revision}` : 'no WPS known';
  sheet.footers((page, pages) => [
    `${WORDS.footer(review.joint, wps, utcText(sealedAt), software)} · ${WORDS.page(page, pages)}`,
    `${watermark === null ? '' : `${watermark} · `}${record ? WORDS.hash(record.sha256) : 'No record is sealed yet.'}`,
  ]);
  attachAll(report, input, at);
  return report.end();
}

/** What a section's first pass takes, in points: a heading is not left alone at the foot of a page. */
const SECTION_BEGINS = { passes: 210, strips: 360 } as const;

function draw(sheet: Sheet, input: ReportInput): void {
  const { review, nameOf } = input;
  const { sections } = WORDS;
  sheet.title(WORDS.title(review.joint));
  for (const caution of WORDS.cautions) sheet.text(caution, { small: true });
  sheet.heading(sections.identity);
  identity(sheet, review);
  sheet.heading(sections.map);
  map(sheet, review);
  sheet.heading(sections.passes, SECTION_BEGINS.passes);
  passTable(sheet, review);
  sheet.heading(sections.strips, SECTION_BEGINS.strips);
  strips(sheet, review);
  sheet.heading(sections.times);
  times(sheet, review, nameOf);
  sheet.heading(sections.events);
  events(sheet, review);
  sheet.heading(sections.verification);
  verification(sheet, review);
  sheet.heading(sections.quality);
  quality(sheet, review);
  sheet.heading(sections.seals);
  for (const line of input.seals) sheet.text(line, { small: true });
  sheet.heading(sections.findings);
  findings(sheet, review, nameOf);
}

function watermarkOf({ origin }: JointReview): string | null {
  if (origin === 'simulated') return WORDS.simulated;
  return origin === 'replay' ? WORDS.replay : null;
}

function attachAll(report: ReportDocument, { review, record, windowsCsv }: ReportInput, at: Date): void {
  attach(report, at, {
    name: 'windows.csv',
    text: windowsCsv,
    type: 'text/csv',
    description: 'Windows of weld of every pass, one row each',
  });
  const type = 'application/json';
  attach(report, at, {
    name: 'joint.json',
    text: JSON.stringify(review),
    type,
    description: 'The joint as it was reviewed',
  });
  if (!record) return;
  const description = 'The signed record of the joint';
  attach(report, at, { name: 'record.json', text: record.text, type, description });
}
