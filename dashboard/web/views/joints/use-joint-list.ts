import { useEffect, useRef, useState } from 'preact/hooks';
import type { JointSummary, JointSummaryList } from '#core/messages/api-journal';
import { useApp } from '../../app-context.ts';
import { format } from '../../text/text.ts';
import { filterQuery, type JointFilter } from './joint-filter.ts';

/** Rows asked for at once, and the most that are read again together when something changes. */
const PAGE = 20;
const MOST_AGAIN = 200;
/** What is typed is asked for when typing rests, ms. */
const REST_MS = 300;
/** A store that is new to the list is looked through a little at each asking, ms between two. */
const UNREAD_MS = 1000;

export interface JointsRead {
  readonly joints: readonly JointSummary[];
  readonly loaded: boolean;
  readonly failure: string | null;
  /** Joints the server has not looked through yet. */
  readonly unread: number;
  /** The next page; null where there is none. */
  readonly more: (() => void) | null;
}

interface Kept {
  readonly key: string;
  readonly joints: readonly JointSummary[];
  readonly next: string | null;
  readonly unread: number;
}

const messageOf = (error: unknown): string => (error instanceof Error ? error.message : '');

/** The newest joints that pass the filter, page by page; read again whenever something was entered or recorded. */
export function useJointList(find: string, filter: JointFilter): JointsRead {
  const { api, changes } = useApp();
  const [kept, setKept] = useState<Kept | null>(null);
  const [failure, setFailure] = useState<string | null>(null);
  const [again, setAgain] = useState(0);
  const { zone } = format();
  const query = filterQuery(find, filter, zone);
  const key = JSON.stringify(query);
  const version = changes.joints.value;
  const now = useRef(kept);
  now.current = kept;
  const typed = useRef(find);
  useEffect(() => {
    let left = false;
    const ask = async (): Promise<void> => {
      const known = now.current?.key === key ? now.current.joints.length : 0;
      const limit = String(Math.min(MOST_AGAIN, Math.max(PAGE, known)));
      try {
        const list = await api.get<JointSummaryList>(['joint-list'], { ...query, limit });
        if (left) return;
        setKept({ key, joints: list.joints, next: list.next, unread: list.unread });
        setFailure(null);
      } catch (error) {
        if (!left) setFailure(messageOf(error));
      }
    };
    const timer = setTimeout(() => void ask(), typed.current === find ? 0 : REST_MS);
    typed.current = find;
    return () => {
      left = true;
      clearTimeout(timer);
    };
    // `key` says what `query` asks for.
  }, [api, key, version, again]);
  const unread = kept?.unread ?? 0;
  useEffect(() => {
    if (unread === 0) return;
    const timer = setTimeout(() => setAgain(n => n + 1), UNREAD_MS);
    return () => clearTimeout(timer);
  }, [unread, again]);
  const next = kept?.next ?? null;
  const readNext = async (before: string): Promise<void> => {
    try {
      const list = await api.get<JointSummaryList>(['joint-list'], { ...query, limit: String(PAGE), before });
      setKept(known =>
        known?.key === key && known.next === before
          ? { ...list, key, joints: [...known.joints, ...list.joints] }
          : known,
      );
    } catch (error) {
      setFailure(messageOf(error));
    }
  };
  return {
    joints: kept?.joints ?? [],
    loaded: kept !== null,
    failure,
    unread,
    more: next === null ? null : () => void readNext(next),
  };
}
