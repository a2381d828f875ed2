import { useState } from 'preact/hooks';
import type { ExportJob } from '#core/messages/api-export';
import { Pick } from '../../parts/pick.tsx';
import { whenText } from '../../parts/when-text.ts';
import { said } from '../../text/said.ts';
import { format, manner, text } from '../../text/text.ts';
import { TypedField } from '../verify/fields.tsx';
import { PAPER_CHOICES, type PaperChoice, paperManner, papersOf, usualPaper } from './export-links.ts';
import { useExportJob } from './use-export-job.ts';

/** A day's joints as one archive, behind one line: made by the server while the page goes on. */
export function ExportDay() {
  const t = text.value.export;
  const [opened, setOpened] = useState(false);
  return (
    <details class="more export-day" onToggle={event => setOpened(opened || event.currentTarget.open)}>
      <summary>{t.dayTitle}</summary>
      {opened && <DayForm />}
    </details>
  );
}

function DayForm() {
  const t = text.value.export;
  const { zone } = format();
  const { job, failure, begin, cancel } = useExportJob();
  const [date, setDate] = useState('');
  const [tried, setTried] = useState(false);
  const [paper, setPaper] = useState<PaperChoice>(() => usualPaper(navigator.language));
  const running = job?.state === 'running';
  return (
    <form
      noValidate
      onSubmit={event => {
        event.preventDefault();
        setTried(true);
        if (date !== '' && !running)
          void begin({ date, zone, papers: papersOf(paper), ...paperManner(manner.value) });
      }}
    >
      <TypedField
        id="export-day"
        label={t.day}
        hint={t.dayHint(zone)}
        value={date}
        kind="date"
        error={tried && date === '' ? t.dayMissing : null}
        type={setDate}
      />
      <Pick
        name="export-day-paper"
        legend={t.paper}
        options={PAPER_CHOICES.map(value => ({ value, label: t.papers[value] }))}
        value={paper}
        error={null}
        pick={value => setPaper(PAPER_CHOICES.find(one => one === value) ?? 'a4')}
      />
      <p class="form-actions">
        <button class="primary" type="submit" aria-disabled={running}>
          {t.begin}
        </button>
        {running && (
          <button type="button" onClick={() => void cancel()}>
            {t.cancel}
          </button>
        )}
        {job?.state === 'done' && (
          <a class="button" download="" href={`/api/v1/exports/${encodeURIComponent(job.id)}/file`}>
            {t.fetch(job.file)}
          </a>
        )}
      </p>
      {job !== null && running && (
        <progress
          class="export-progress"
          aria-label={whatOf(job)}
          value={job.done}
          max={Math.max(1, job.total)}
        />
      )}
      <p role="status">{job !== null && wordsOf(job)}</p>
      <div role="alert">{failure !== null && <p class="message out">{failure}</p>}</div>
    </form>
  );
}

function whatOf({ date }: ExportJob): string {
  const t = text.value.export;
  return date === null ? t.ofJoints : t.ofDay(date);
}

function wordsOf(job: ExportJob): string {
  const t = text.value.export;
  const what = whatOf(job);
  switch (job.state) {
    case 'running':
      return t.running(what, job.done, job.total);
    case 'done':
      return t.done(
        what,
        format().fixed(job.bytes / 1_000_000, 1),
        job.keptUntil === null ? '' : whenText(job.keptUntil),
      );
    case 'cancelled':
      return t.state.cancelled(what);
    case 'failed':
      return t.state.failed(what, said(job.problem ?? ''));
  }
}
