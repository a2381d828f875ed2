/** A PDF/A-3b to draw on, the same bytes for the same content: its time is given, never the clock's. */

import { createRequire } from 'node:module';
import type { Phrase } from '#core/phrases/phrase-book';
import { type ReportManner, sayIn } from './report-manner.ts';
import { FONTS, Sheet } from './sheet.ts';

export interface ReportDocumentOptions {
  readonly title: string;
  readonly at: Date;
  readonly software: string;
  readonly paper: 'a4' | 'letter';
  /** Across every page; null where there is none. */
  readonly watermark: string | null;
  readonly manner: ReportManner;
  /** Of this kind of report, where it is not that of a joint. */
  readonly phrases?: readonly Phrase[];
}

export interface ReportDocument {
  readonly doc: Sheet['doc'];
  readonly sheet: Sheet;
  /** Closes it; its bytes. */
  readonly end: () => Promise<Buffer>;
}

export async function openReport(options: ReportDocumentOptions): Promise<ReportDocument> {
  const { title, at, software, paper, watermark, manner, phrases } = options;
  const { default: PdfDocument } = await import('pdfkit');
  const find = createRequire(import.meta.url);
  const plain = find.resolve('dejavu-fonts-ttf/ttf/DejaVuSansCondensed.ttf');
  const bold = find.resolve('dejavu-fonts-ttf/ttf/DejaVuSansCondensed-Bold.ttf');
  const doc = new PdfDocument({
    pdfVersion: '1.7',
    subset: 'PDF/A-3b',
    lang: manner.language,
    displayTitle: true,
    size: paper === 'a4' ? 'A4' : 'LETTER',
    margin: 0,
    bufferPages: true,
    font: plain,
    info: {
      Title: sayIn(manner, phrases)(title),
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
  return {
    doc,
    sheet: new Sheet(doc, watermark, sayIn(manner, phrases)),
    end: () => {
      doc.end();
      return done;
    },
  };
}

/** A file inside the PDF. */
export function attach(
  { doc }: ReportDocument,
  at: Date,
  file: { readonly name: string; readonly text: string; readonly type: string; readonly description: string },
): void {
  const { name, text, type, description } = file;
  const options = { name, type, description, creationDate: at, modifiedDate: at, relationship: 'Data' };
  doc.file(Buffer.from(text, 'utf8'), options as Parameters<typeof doc.file>[1]);
}
