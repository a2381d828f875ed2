/** Runs in the page: sixteen plain canvases, each drawn anew with every live frame. Nothing of ours but the stream. */
export async function plainCanvases(): Promise<void> {
  const POINTS = 300;
  document.body.replaceChildren();
  const canvases = Array.from({ length: 16 }, () => {
    const canvas = document.createElement('canvas');
    canvas.width = 440;
    canvas.height = 220;
    document.body.append(canvas);
    return { pen: canvas.getContext('2d')!, values: [] as number[] };
  });
  const response = await fetch('/api/v1/stream');
  const reader = response.body!.pipeThrough(new TextDecoderStream()).getReader();
  let text = '';
  const draw = ({ pen, values }: (typeof canvases)[number]): void => {
    pen.clearRect(0, 0, 440, 220);
    pen.beginPath();
    for (const [x, value] of values.entries()) {
      const y = 220 - (value - 200) * 3;
      if (x === 0) pen.moveTo(0, y);
      else pen.lineTo((x * 440) / POINTS, y);
    }
    pen.stroke();
    pen.font = '32px sans-serif';
    pen.fillText((values.at(-1) ?? 0).toFixed(0), 340, 40);
  };
  for (;;) {
    const { done, value } = await reader.read();
    if (done) return;
    const blocks = (text + value).split('\n\n');
    text = blocks.pop() ?? '';
    for (const block of blocks) {
      const [, data] = /event: live\ndata: (.*)/.exec(block) ?? [];
      if (data === undefined) continue;
      const { rigs } = JSON.parse(data) as {
        rigs: { live: { values: { weldingCurrent: number | null } } }[];
      };
      for (const [i, { live }] of rigs.entries()) {
        const one = canvases[i];
        one?.values.push(live.values.weldingCurrent ?? 0);
        if (one && one.values.length > POINTS) one.values.shift();
      }
      requestAnimationFrame(() => canvases.forEach(draw));
    }
  }
}
