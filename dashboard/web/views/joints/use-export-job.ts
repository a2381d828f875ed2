import { useEffect, useState } from 'preact/hooks';
import type { ExportJob, NewExport } from '#core/messages/api-export';
import { useApp } from '../../app-context.ts';
import { failureSentence } from '../../data/api-client.ts';
import { text } from '../../text/text.ts';

/** How often a running export is asked after, ms. */
const LOOK_MS = 1000;

export interface ExportJobs {
  /** The newest; null before one was asked for. */
  readonly job: ExportJob | null;
  readonly failure: string | null;
  readonly begin: (wanted: Partial<NewExport>) => Promise<void>;
  readonly cancel: () => Promise<void>;
}

/** The newest export of this dashboard, followed while it is made, whoever began it. */
export function useExportJob(): ExportJobs {
  const { api } = useApp();
  const [job, setJob] = useState<ExportJob | null>(null);
  const [failure, setFailure] = useState<string | null>(null);
  /** Grows with every look, so that the next one is planned. */
  const [looks, setLooks] = useState(0);

  useEffect(() => {
    let left = false;
    const look = async (): Promise<void> => {
      try {
        const { exports } = await api.get<{ exports: ExportJob[] }>(['exports']);
        if (left) return;
        setJob(exports[0] ?? null);
        setFailure(null);
      } catch (error) {
        if (!left) setFailure(sentenceOf(error));
      }
      if (!left) setLooks(n => n + 1);
    };
    if (looks > 0 && job?.state !== 'running') return;
    const timer = setTimeout(() => void look(), looks === 0 ? 0 : LOOK_MS);
    return () => {
      left = true;
      clearTimeout(timer);
    };
  }, [api, looks, job?.state]);

  const tell = async (ask: () => Promise<ExportJob>): Promise<void> => {
    setFailure(null);
    try {
      setJob(await ask());
    } catch (error) {
      setFailure(sentenceOf(error));
    }
  };
  return {
    job,
    failure,
    begin: wanted => tell(() => api.post<ExportJob>(['exports'], wanted)),
    cancel: () => tell(() => api.post<ExportJob>(['exports', job?.id ?? '', 'cancel'], {})),
  };
}

const sentenceOf = (error: unknown): string => failureSentence(error, text.value.export.notReached);
