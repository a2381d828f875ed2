import { useState } from 'preact/hooks';
import type { Origin } from '#core/messages/common';
import { Pick } from '../../parts/pick.tsx';
import { format, manner, text } from '../../text/text.ts';
import {
  jointExportUrl,
  PAPER_CHOICES,
  type PaperChoice,
  paperManner,
  papersOf,
  reportUrl,
  tableStyle,
  usualPaper,
} from './export-links.ts';

interface ExportPanelProps {
  readonly joint: string;
  /** That of what is shown: real and simulated work under one number are two exports. */
  readonly origin: Origin;
}

const TABLES = ['passes', 'windows', 'deviations', 'events'] as const;

/** What one joint is taken out as. Stands alone: it reads nothing and changes nothing. */
export function ExportPanel({ joint, origin }: ExportPanelProps) {
  const t = text.value.export;
  const [paper, setPaper] = useState<PaperChoice>(() => usualPaper(navigator.language));
  const { zone } = format();
  const query = { zone, origin };
  const papers = papersOf(paper);
  return (
    <section class="export-panel" aria-labelledby="export-title">
      <h2 id="export-title">{t.title}</h2>
      <p class="hint">{t.note(zone)}</p>
      <Pick
        name="export-paper"
        legend={t.paper}
        options={PAPER_CHOICES.map(value => ({ value, label: t.papers[value] }))}
        value={paper}
        error={null}
        pick={value => setPaper(PAPER_CHOICES.find(one => one === value) ?? 'a4')}
      />
      <p class="form-actions">
        <a
          class="button primary"
          download=""
          href={jointExportUrl(joint, 'export.zip', {
            ...query,
            ...paperManner(manner.value),
            paper: papers.join(','),
          })}
        >
          {t.archive}
        </a>
        {papers.map(size => (
          <a
            key={size}
            class="button"
            download=""
            href={reportUrl(joint, size, { ...query, ...paperManner(manner.value) })}
          >
            {papers.length === 1 ? t.report : `${t.report}, ${t.papers[size]}`}
          </a>
        ))}
      </p>
      <h3>{t.tablesTitle}</h3>
      <p class="form-actions">
        {TABLES.map(table => (
          <a
            key={table}
            class="button"
            download=""
            href={jointExportUrl(joint, `${table}.csv`, { ...query, ...tableStyle(manner.value) })}
          >
            {t[table]}
          </a>
        ))}
        <a class="button" download="" href={jointExportUrl(joint, 'export.json', query)}>
          {t.json}
        </a>
      </p>
    </section>
  );
}
