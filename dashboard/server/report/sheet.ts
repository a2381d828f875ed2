/** Pages of a report: headings, text, tables that break across pages, a footer and a watermark. Lengths in points. */
import type PdfDocument from 'pdfkit';
import type { Say } from './report-manner.ts';

type Doc = InstanceType<typeof PdfDocument>;

export interface Column {
  readonly title: string;
  /** Share of the width of the page. */
  readonly share: number;
  readonly align?: 'left' | 'right';
}

/** 180 × 249 mm fits A4 and Letter. */
const MM = 72 / 25.4;
const WIDTH = 180 * MM;
const HEIGHT = 249 * MM;
const TEXT = 8.5;
const SMALL = 7;
const PAD = 2.5;
const INK = '#000000';
const GREY = '#555555';
const LINE = '#999999';
/** Light enough that print over it reads, dark enough that nobody misses it. */
const WATERMARK = '#dddddd';

export const FONTS = { plain: 'plain', bold: 'bold' } as const;

/** A number before a column of words keeps its distance: `0` and the verdict `in` are not `0 in`. */
function widthOf(columns: readonly Column[], i: number, width: number): number {
  const next = columns[i + 1];
  const apart = columns[i]!.align === 'right' && next !== undefined && next.align !== 'right';
  return columns[i]!.share * width - (apart ? 6 : 2) * PAD;
}

export class Sheet {
  readonly doc: Doc;
  readonly left: number;
  readonly width = WIDTH;
  private readonly top: number;
  private readonly bottom: number;
  private readonly watermark: string | null;
  /** Every text as it is printed: in the language, units and clocks of the report. */
  readonly say: Say;

  constructor(doc: Doc, watermark: string | null, say: Say) {
    this.doc = doc;
    this.say = say;
    this.watermark = watermark === null ? null : say(watermark);
    this.left = (doc.page.width - WIDTH) / 2;
    this.top = (doc.page.height - HEIGHT) / 2;
    // Room for two lines of footer.
    this.bottom = this.top + HEIGHT - 26;
    doc.on('pageAdded', () => this.begin());
    this.begin();
  }

  get room(): number {
    return this.bottom - this.doc.y;
  }

  /** A new page unless this much is left. */
  need(points: number): void {
    if (this.room < points) this.doc.addPage();
  }

  title(text: string): void {
    this.write(text, { font: FONTS.bold, size: 18 });
    this.gap(2);
  }

  /** `room` is what it and the first thing under it take. */
  heading(text: string, room = 60): void {
    this.need(room);
    this.gap(8);
    const { doc, left, width } = this;
    doc
      .moveTo(left, doc.y)
      .lineTo(left + width, doc.y)
      .lineWidth(1)
      .strokeColor(INK)
      .stroke();
    this.gap(3);
    this.write(text, { font: FONTS.bold, size: 11 });
    this.gap(2);
  }

  subheading(text: string): void {
    this.need(40);
    this.gap(4);
    this.write(text, { font: FONTS.bold, size: 9 });
    this.gap(1);
  }

  text(text: string, options: { bold?: boolean; small?: boolean } = {}): void {
    const size = options.small ? SMALL : TEXT;
    this.need(size * 2);
    this.write(text, {
      font: options.bold ? FONTS.bold : FONTS.plain,
      size,
      colour: options.small ? GREY : INK,
    });
  }

  gap(points: number): void {
    this.doc.y += points;
  }

  /** Pairs of a name and what it is, two columns of them. */
  facts(pairs: readonly (readonly [string, string])[]): void {
    const rows: string[][] = [];
    for (let i = 0; i < pairs.length; i += 2) rows.push([...pairs[i]!, ...(pairs[i + 1] ?? ['', ''])]);
    const columns = [0.17, 0.33, 0.17, 0.33].map((share): Column => ({ title: '', share }));
    for (const row of rows) this.row(row.map(this.say), columns, { boldEvery: 2 });
  }

  /** A table whose head stands again on each page. */
  table(columns: readonly Column[], rows: readonly (readonly string[])[]): void {
    const head = columns.map(({ title }) => this.say(title));
    this.need(40);
    this.row(head, columns, { head: true });
    for (const row of rows.map(cells => cells.map(this.say))) {
      if (this.room < this.heightOf(row, columns)) {
        this.doc.addPage();
        this.row(head, columns, { head: true });
      }
      this.row(row, columns, {});
    }
    this.gap(3);
  }

  /** Runs over every page once all of them are there. */
  footers(lines: (page: number, pages: number) => readonly [string, string]): void {
    const { doc } = this;
    const { start, count } = doc.bufferedPageRange();
    for (let i = 0; i < count; i++) {
      doc.switchToPage(start + i);
      const [first, second] = lines(i + 1, count).map(this.say) as [string, string];
      const y = this.bottom + 8;
      doc
        .moveTo(this.left, y - 3)
        .lineTo(this.left + this.width, y - 3)
        .lineWidth(0.5)
        .strokeColor(LINE)
        .stroke();
      doc.font(FONTS.plain).fontSize(6.5).fillColor(GREY);
      const options = { lineBreak: false, width: this.width } as const;
      doc.text(first, this.left, y, options);
      doc.text(second, this.left, y + 9, options);
    }
  }

  private begin(): void {
    const { doc } = this;
    if (this.watermark !== null) {
      const { width, height } = doc.page;
      doc.save();
      doc.font(FONTS.bold).fontSize(50).fillColor(WATERMARK);
      doc.rotate(-55, { origin: [width / 2, height / 2] });
      doc.text(this.watermark, width / 2 - height, height / 2 - 30, {
        width: 2 * height,
        align: 'center',
        lineBreak: false,
      });
      doc.restore();
    }
    doc.fillColor(INK);
    doc.x = this.left;
    doc.y = this.top;
  }

  private write(said: string, style: { font: string; size: number; colour?: string }): void {
    const { doc } = this;
    doc
      .font(style.font)
      .fontSize(style.size)
      .fillColor(style.colour ?? INK);
    doc.text(this.say(said), this.left, doc.y, { width: this.width });
    doc.fillColor(INK);
  }

  private heightOf(row: readonly string[], columns: readonly Column[]): number {
    this.doc.font(FONTS.plain).fontSize(SMALL);
    const heights = row.map((cell, i) =>
      this.doc.heightOfString(cell === '' ? ' ' : cell, { width: widthOf(columns, i, this.width) }),
    );
    return Math.max(...heights) + 2 * PAD;
  }

  private row(
    row: readonly string[],
    columns: readonly Column[],
    style: { head?: boolean; boldEvery?: number },
  ): void {
    const { doc, left, width } = this;
    const height = this.heightOf(row, columns);
    if (this.room < height) doc.addPage();
    const { y } = doc;
    let x = left;
    row.forEach((cell, i) => {
      const column = columns[i]!;
      const bold = style.head === true || (style.boldEvery !== undefined && i % style.boldEvery === 0);
      doc
        .font(bold ? FONTS.bold : FONTS.plain)
        .fontSize(SMALL)
        .fillColor(INK);
      doc.text(cell, x + PAD, y + PAD, {
        width: widthOf(columns, i, width),
        align: column.align ?? 'left',
      });
      x += column.share * width;
    });
    const under = y + height;
    doc.moveTo(left, under).lineTo(left + width, under);
    doc
      .lineWidth(style.head ? 1 : 0.3)
      .strokeColor(style.head ? INK : LINE)
      .stroke();
    doc.x = left;
    doc.y = under;
  }
}
