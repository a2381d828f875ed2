/**
 * The report of one joint as a PDF. The same review gives the same bytes: its time is the newest moment in the
 * record, never the clock. Made as PDF/A-3b with the data attached; its structure is tested, it is not certified.
 */
import { createRequire } from 'node:module';
import type { JointReview } from '#core/messages/api-review';
import {
  events,
  findings,
  identity,
  map,
  type NameOf,
  passTable,
  quality,
  times,
  verification,
} from './report-sections.ts';
import { utcText, WORDS } from './report-words.ts';
import { FONTS, Sheet } from './sheet.ts';
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
}

/** Time of a report of which nothing is recorded yet. */
const BEFORE_ALL = '1970-01-01T00:00:00.000Z';

export async function jointReport(input: ReportInput): Promise<Buffer> {
  const { default: PdfDocument } = await import('pdfkit');
  const { review, record, software } = input;
  const sealedAt = review.sealedAt ?? BEFORE_ALL;
  const at = new Date(sealedAt);
  const find = createRequire(import.meta.url);
  const plain = find.resolve('dejavu-fonts-ttf/ttf/DejaVuSansCondensed.ttf');
  const bold = find.resolve('dejavu-fonts-ttf/ttf/DejaVuSansCondensed-Bold.ttf');
  const doc = new PdfDocument({
    pdfVersion: '1.7',
    subset: 'PDF/A-3b',
    lang: WORDS.language,
    displayTitle: true,
    size: input.paper === 'a4' ? 'A4' : 'LETTER',
    margin: 0,
    bufferPages: true,
    font: plain,
    info: {
      Title: WORDS.title(review.joint),
      Author: 'Girthlog',
      Creator: `Girthlog ${software}`,
      Producer: 'Girthlog',
      CreationDate: at,
      ModDate: at,
    },
  } as ConstructorParameters<typeof PdfDocument>[0]);
  const chunks: Buffer[] = [];
  doc.on('data', (chunk: Buffer) => chunks.push(chunk));
  const done = new Promise<Buffer>((resolve, reject) => {
    doc.on('end', () => resolve(Buffer.concat(chunks)));
    doc.on('error', reject);
  });
  doc.registerFont(FONTS.plain, plain);
  doc.registerFont(FONTS.bold, bold);
  const watermark = watermarkOf(review);
  const sheet = new Sheet(doc, watermark);
  draw(sheet, input);
  const { procedure } = review;
  const wps = procedure ? `${procedure.id} rev. ${procedure.revision}` : 'no WPS known';
  sheet.footers((page, pages) => [
    `${WORDS.footer(review.joint, wps, utcText(sealedAt), software)} · ${WORDS.page(page, pages)}`,
    `${watermark === null ? '' : `${watermark} · `}${record ? WORDS.hash(record.sha256) : 'No record is sealed yet.'}`,
  ]);
  attach(doc, input, at);
  doc.end();
  return done;
}

function draw(sheet: Sheet, input: ReportInput): void {
  const { review, nameOf } = input;
  const { sections } = WORDS;
  sheet.title(WORDS.title(review.joint));
  for (const caution of WORDS.cautions) sheet.text(caution, { small: true });
  sheet.heading(sections.identity);
  identity(sheet, review);
  sheet.heading(sections.map);
  map(sheet, review);
  sheet.heading(sections.passes);
  passTable(sheet, review);
  sheet.heading(sections.strips);
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

function attach(doc: Sheet['doc'], { review, record, windowsCsv }: ReportInput, at: Date): void {
  const dates = { creationDate: at, modifiedDate: at, relationship: 'Data' };
  const files: [string, string, string, string][] = [
    ['windows.csv', windowsCsv, 'text/csv', 'Windows of weld of every pass, one row each'],
    ['joint.json', JSON.stringify(review), 'application/json', 'The joint as it was reviewed'],
    ...(record
      ? ([['record.json', record.text, 'application/json', 'The signed record of the joint']] as const).map(
          file => [...file] as [string, string, string, string],
        )
      : []),
  ];
  for (const [name, text, type, description] of files) {
    doc.file(Buffer.from(text, 'utf8'), { name, type, description, ...dates } as Parameters<
      typeof doc.file
    >[1]);
  }
}
