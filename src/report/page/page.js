'use strict';
(function () {
  const root = document.documentElement;
  root.classList.add('scripted');
  const data = JSON.parse(document.getElementById('data').textContent);
  const inUs = () => document.getElementById('us').checked;
  const printing = window.matchMedia('print');

  // A colour of the style sheet as the present light makes it.
  const probe = document.createElement('span');
  probe.hidden = true;
  document.body.appendChild(probe);
  const colour = (name) => {
    probe.style.color = `var(--${name})`;
    return getComputedStyle(probe).color;
  };
  const faint = (name, share) => colour(name).replace('rgb(', 'rgba(').replace(')', `, ${share})`);

  // Values in the units that are chosen.
  const temperature = (degC) => (inUs() ? degC * 1.8 + 32 : degC);
  const degrees = () => (inUs() ? '°F' : '°C');
  const heatFactor = () => (inUs() ? 3.412141633 : 1);
  const heatUnit = () => (inUs() ? 'BTU/h' : 'W');

  // Hours that are shaded: the sleep window.
  const shade = {
    id: 'shade',
    beforeDatasetsDraw(chart, args, options) {
      if (!options.hours) return;
      const { ctx, chartArea: a, scales: { x } } = chart;
      const [from, to] = options.hours;
      ctx.save();
      ctx.fillStyle = colour('night');
      const left = Math.max(x.getPixelForValue(from), a.left);
      const right = Math.min(x.getPixelForValue(to), a.right);
      ctx.fillRect(left, a.top, right - left, a.bottom - a.top);
      ctx.restore();
    },
  };

  // Words on two lines where they are long.
  const inLines = (words) => {
    if (words.length < 22 || printing.matches) return words;
    const spaces = [...words.matchAll(/ /g)].map((m) => m.index);
    const at = spaces.reduce((a, b) => (Math.abs(b - words.length / 2) < Math.abs(a - words.length / 2) ? b : a));
    return [words.slice(0, at), words.slice(at + 1)];
  };
  const text = (size) => ({ color: colour('soft'),
    font: { family: getComputedStyle(document.body).fontFamily, size: size || (printing.matches ? 9.5 : 12) } });
  const axis = (title, more) => Object.assign({
    title: Object.assign({ display: true, text: title }, text()),
    ticks: text(),
    grid: { color: colour('line') },
  }, more);
  const line = (label, values, name, more) => Object.assign({
    type: 'line', label, data: values, borderColor: colour(name), backgroundColor: 'transparent',
    borderWidth: 2.5, pointRadius: 0, pointHitRadius: 12, cubicInterpolationMode: 'monotone',
    pointStyle: 'line',
  }, more);
  // Hours lie on an axis of time: a mean stands in the middle of its hour, what holds at its end there.
  const means = (values) => values.map((y, k) => ({ x: k + 0.5, y }));
  const ends = (values) => values.map((y, k) => ({ x: k + 1, y }));
  // What must not be passed, the same from the first hour to the last.
  const bound = (label, hours, value, more) => line(label,
    hours.map((h, k) => ({ x: k === 0 ? 0 : k === hours.length - 1 ? hours.length : k + 0.5, y: value })), 'lost',
    Object.assign({ borderDash: [12, 3, 2, 3], borderWidth: 1.5, drawn: ' (dash and dot)' }, more));
  const common = (sleep, scales, hours) => ({
    responsive: true, maintainAspectRatio: false, animation: false, locale: 'en-GB',
    interaction: { mode: 'index', axis: 'x', intersect: false },
    plugins: {
      shade: { hours: sleep },
      legend: {
        labels: Object.assign({
          usePointStyle: true, pointStyleWidth: 34,
          generateLabels: (chart) => Chart.defaults.plugins.legend.labels.generateLabels(chart).map((l) =>
            Object.assign(l, { text: l.text + (chart.data.datasets[l.datasetIndex].drawn || '') })),
        }, text()),
      },
      tooltip: {
        callbacks: {
          ...(hours && { title: (items) => (items.length > 0 ? hours[items[0].dataIndex] : '') }),
          label: (c) => `${c.dataset.label}: ${c.parsed.y.toFixed(c.dataset.digits)} ${c.dataset.unit}`,
        },
      },
    },
    scales,
  });
  // Whole hours from the first one; its clock time is told with it.
  const clock = (d) => ({ type: 'linear', min: 0, max: d.hours.length, offset: false,
    title: Object.assign({ display: true, text: 'local standard time' }, text()),
    ticks: Object.assign({ stepSize: 3, maxRotation: 0, autoSkipPadding: 8,
      callback: (k) => `${String((d.from_hour + k) % 24).padStart(2, '0')}:00` }, text()),
    grid: { offset: false, color: colour('line') } });

  const charts = {
    night(d) {
      const T = (list) => means(list.map(temperature));
      const unit = { unit: degrees(), digits: 1 };
      // One line where the bed is as warm as the cabin.
      const one = d.cabin_degC.every((t, i) => Math.abs(t - d.bed_degC[i]) < 0.05);
      return {
        data: {
          datasets: [
            line('outdoors', T(d.outdoors_degC), 'warm', Object.assign({ borderDash: [2, 3], drawn: ' (dotted)' }, unit)),
            ...(one ? [] : [line('cabin', T(d.cabin_degC), 'soft', Object.assign({ borderDash: [9, 4], drawn: ' (dashed)' }, unit))]),
            line(one ? 'cabin and bed' : 'bed', T(d.bed_degC), 'cool', Object.assign({ borderWidth: 3.5, drawn: ' (thick)' }, unit)),
            bound('limit', d.hours, temperature(d.limit_degC), unit),
          ],
        },
        options: common(d.sleep, { x: clock(d), y: axis(degrees(), { grace: '4%' }) }, d.hours),
      };
    },
    power(d) {
      const looks = { unit: 'cool', other: 'soft', sun: 'sun', alternator: 'held', shore: 'close' };
      const bars = d.flows.map((f) => ({
        type: 'bar', label: f.words, data: means(f.W), backgroundColor: faint(looks[f.key], 0.75),
        borderColor: colour(looks[f.key]), borderWidth: 1, yAxisID: 'y', unit: 'W', digits: 0,
        pointStyle: 'rect',
      }));
      const charge = { yAxisID: 'charge', unit: '%', digits: 0, cubicInterpolationMode: 'default' };
      const scales = {
        x: clock(d), y: axis('W', { beginAtZero: true }),
        charge: axis('% of charge', { position: 'right', min: 0, max: 100, grid: { display: false } }),
      };
      return {
        data: {
          datasets: [
            line("charge at the hour's end", ends(d.charge_percent), 'ink', charge),
            bound('cut-off', d.hours, d.cut_off_percent, charge),
            ...bars,
          ],
        },
        options: common(d.sleep, scales, d.hours),
      };
    },
    heat(d) {
      const values = d.rows.map((r) => r.W * heatFactor());
      const side = (sign, label, name) => ({
        label, data: values.map((v) => (v * sign > 0 ? v : null)), backgroundColor: faint(name, 0.8),
        borderColor: colour(name), borderWidth: 1, unit: heatUnit(), digits: 0,
        borderSkipped: false, stack: 'all', pointStyle: 'rect',
      });
      const options = common(null, {
        x: axis(heatUnit(), { stacked: true, ticks: Object.assign({ callback: (v) => Math.abs(v).toLocaleString('en-GB') }, text()) }),
        y: { stacked: true, ticks: Object.assign({ autoSkip: false }, text(printing.matches ? 9 : 12)), grid: { display: false } },
      });
      options.indexAxis = 'y';
      options.plugins.tooltip.callbacks.label =
        (c) => `${c.dataset.label}: ${Math.abs(c.parsed.x).toFixed(0)} ${c.dataset.unit}`;
      options.plugins.tooltip.filter = (c) => c.parsed.x !== null && !Number.isNaN(c.parsed.x);
      return {
        type: 'bar',
        data: {
          labels: d.rows.map((r) => inLines(r.words)),
          datasets: [side(1, 'comes in', 'warm'), side(-1, 'goes out', 'cool')],
        },
        options,
      };
    },
  };

  const drawn = [];
  const add = (id, make, d) => {
    const canvas = document.getElementById(id);
    if (!canvas || !d) return;
    const config = () => Object.assign({ type: 'line', plugins: [shade] }, make(d));
    const chart = new Chart(canvas, config());
    drawn.push({ chart, config });
  };
  add('temperatures', charts.night, data.night);
  add('power', charts.power, data.electricity);
  (data.heat || []).forEach((d, i) => {
    const box = document.getElementById(`heat${i}-box`);
    if (box) {
      box.classList.add('bars');
      box.style.setProperty('--rows', Math.max(...data.heat.map((h) => h.rows.length)));
    }
    add(`heat${i}`, charts.heat, d);
  });

  const redraw = () => drawn.forEach(({ chart, config }) => {
    const fresh = config();
    chart.data = fresh.data;
    chart.options = fresh.options;
    chart.resize();
    chart.update('none');
  });
  document.querySelectorAll('.tools input').forEach((i) => i.addEventListener('change', redraw));
  window.matchMedia('(prefers-color-scheme: dark)').addEventListener('change', redraw);
  window.addEventListener('beforeprint', redraw);
  window.addEventListener('afterprint', redraw);
  printing.addEventListener('change', redraw);

  // The calendar says which night is under the pointer or the arrow keys.
  const calendar = document.getElementById('calendar');
  const reading = document.getElementById('reading');
  if (calendar && data.each_night.length > 0) {
    const cells = [...calendar.querySelectorAll('td[data-i]')]
      .sort((a, b) => a.dataset.i - b.dataset.i);
    let at = -1;
    const say = (i) => {
      const n = data.each_night[i];
      const bed = `${temperature(n.bed_degC).toFixed(1)} ${degrees()}`;
      reading.textContent = `${n.words}: ${n.mark}; bed at most ${bed}` +
        (n.mark === 'no cooling needed' ? '' : `, battery at dawn ${n.dawn_percent} %`) +
        (n.why ? `; ${n.why}` : '') + '.';
    };
    const go = (i) => {
      if (at >= 0) cells[at].classList.remove('at');
      at = Math.max(0, Math.min(cells.length - 1, i));
      cells[at].classList.add('at');
      say(at);
    };
    const hint = 'Point at a night, or use the arrow keys, to read it.';
    reading.textContent = hint;
    calendar.addEventListener('mouseover', (e) => {
      const cell = e.target.closest('td[data-i]');
      if (cell) go(cells.indexOf(cell));
    });
    calendar.addEventListener('click', (e) => {
      const cell = e.target.closest('td[data-i]');
      if (cell) go(cells.indexOf(cell));
    });
    calendar.addEventListener('keydown', (e) => {
      const beside = (rows) => {
        const row = cells[at] && cells[at].parentElement.parentElement.rows[cells[at].parentElement.sectionRowIndex + rows];
        return row && row.cells[cells[at].cellIndex] ? cells.indexOf(row.cells[cells[at].cellIndex]) : -1;
      };
      const to = { ArrowRight: at + 1, ArrowLeft: at - 1, Home: 0, End: cells.length - 1,
        ArrowDown: beside(1), ArrowUp: beside(-1) }[e.key];
      if (to === undefined) return;
      e.preventDefault();
      if (at < 0 && e.key.startsWith('Arrow')) go(data.hardest);
      else if (to >= 0) go(to);
    });
    document.querySelectorAll('.tools input').forEach((i) => i.addEventListener('change', () => {
      if (at >= 0) say(at);
    }));
  }
  root.dataset.ready = String(Math.round(performance.now()));
}());
