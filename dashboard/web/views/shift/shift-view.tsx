import type { Shift } from '#core/messages/api-shift';
import { useApp } from '../../app-context.ts';
import { text } from '../../text/text.ts';
import { useRead } from '../changes/use-read.ts';
import { ShiftControls } from './shift-controls.tsx';
import { type ShiftRoute, shiftQuery, shiftUrl } from './shift-route.ts';
import { ShiftSheet } from './shift-sheet.tsx';

/** What was welded, used and left open in one shift; printed, it is one page. */
export function ShiftView({ route }: { readonly route: ShiftRoute }) {
  const { api } = useApp();
  const t = text.value.shift;
  const read = useRead(shiftUrl(route), () => api.get<Shift>(['shift'], shiftQuery(route)));
  const shift = read.value;
  return (
    <section class="sheet shift" data-origin={shift?.origin}>
      {shift !== null && shift.origin !== 'real' && (
        <p class="shift-mark">
          {t.originIs[shift.origin]}
          <span class="shift-across" aria-hidden="true">
            {text.value.origin[shift.origin]}
          </span>
        </p>
      )}
      <h1>{shift === null ? t.titleLoading : t.title(shift.date)}</h1>
      <div role="alert">
        {read.failure !== null && <p class="message nodata">{t.failed(read.failure)}</p>}
      </div>
      {shift === null && read.failure === null && <p>{t.loading}</p>}
      {shift !== null && (
        <>
          <ShiftControls shift={shift} route={route} again={read.again} />
          <ShiftSheet shift={shift} />
        </>
      )}
    </section>
  );
}
