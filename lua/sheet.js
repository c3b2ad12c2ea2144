/* The hours of the page on one time axis, by dygraphs. */
(function () {
  "use strict";
  var place = document.getElementById("hours"), source = document.getElementById("hours-data");
  if (!place || !source || typeof Dygraph === "undefined") {
    return;
  }
  var data = JSON.parse(source.textContent), hour = 3600e3, charts = [], together = false;
  var ink = "#6b6f78", base = Date.UTC(2001, 0, 1) + data.start * 1000;
  var count = data.panels[0].lines[0].values.length, end = base + count * hour;
  var months = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];

  document.documentElement.className += " live";

  function two(n) {
    return (n < 10 ? "0" : "") + n;
  }
  function when(ms) {
    var d = new Date(ms);
    return d.getUTCDate() + " " + months[d.getUTCMonth()] + " " + two(d.getUTCHours()) + ":" + two(d.getUTCMinutes());
  }
  function show(window, from) {
    if (together) {
      return;
    }
    together = true;
    charts.forEach(function (chart) {
      if (chart !== from) {
        chart.updateOptions({ dateWindow: window });
      }
    });
    together = false;
    document.getElementById("hours-span").textContent = when(window[0]) + " – " + when(window[1]);
  }
  function select(row) {
    charts.forEach(function (chart) {
      if (row === null) {
        chart.clearSelection();
      } else {
        chart.setSelection(row);
      }
    });
  }

  /* A line of names and numbers below the title of a panel; names are set as text, never as markup. */
  function write(box, panel, row) {
    box.textContent = "";
    panel.lines.forEach(function (line) {
      var item = document.createElement("span"), mark = document.createElement("i");
      mark.style.borderTopColor = line.run < 0 ? ink : data.runs[line.run].colour;
      mark.style.borderTopStyle = line.dashed ? "dashed" : "solid";
      item.appendChild(mark);
      var text = line.label;
      if (data.runs.length > 1 && line.run >= 0) {
        text = data.runs[line.run].name + (panel.several ? ", " + line.label : "");
      }
      if (row !== null && line.values[row] !== null) {
        text += " " + (line.values[row] / panel.scale).toFixed(panel.scale > 1 ? 1 : 0);
      }
      item.appendChild(document.createTextNode(text));
      box.appendChild(item);
    });
  }

  data.panels.forEach(function (panel, number) {
    var head = document.createElement("h4"), box = document.createElement("div"), frame = document.createElement("div");
    panel.several = panel.lines.some(function (line) {
      return line.run >= 0 && line.label !== panel.lines[0].label;
    });
    head.textContent = panel.title + ", " + panel.unit;
    box.className = "line";
    frame.className = "panel";
    place.appendChild(head);
    place.appendChild(box);
    place.appendChild(frame);
    write(box, panel, null);
    var rows = [], series = {}, labels = ["time"], colours = [];
    for (var i = 0; i < count; i++) {
      var row = [new Date(base + (panel.steps ? i : i + 0.5) * hour)];
      for (var k = 0; k < panel.lines.length; k++) {
        var value = panel.lines[k].values[i];
        row.push(value === null ? null : value / panel.scale);
      }
      rows.push(row);
    }
    panel.lines.forEach(function (line, k) {
      labels.push("l" + k);
      colours.push(line.run < 0 ? ink : data.runs[line.run].colour);
      series["l" + k] = { strokePattern: line.dashed ? [5, 4] : null, strokeWidth: line.run < 0 ? 1.2 : 1.8 };
    });
    charts.push(new Dygraph(frame, rows, {
      labels: labels, colors: colours, series: series, labelsUTC: true, legend: "never", stepPlot: panel.steps,
      dateWindow: [base, end], gridLineColor: "#e2e4e9", axisLineColor: "#8a8d95", axisLabelFontSize: 12,
      includeZero: panel.steps, yRangePad: 3, animatedZooms: false, highlightCircleSize: 3,
      axes: { y: { axisLabelWidth: 40, pixelsPerLabel: 26 }, x: { drawAxis: true, pixelsPerLabel: 64 } },
      highlightCallback: function (event, x, points, row) {
        if (!together) {
          together = true;
          select(row);
          together = false;
        }
        document.getElementById("hours-time").textContent = when(base + row * hour);
        data.panels.forEach(function (each, n) {
          write(place.querySelectorAll(".line")[n], each, row);
        });
      },
      unhighlightCallback: function () {
        if (together) {
          return;
        }
        together = true;
        select(null);
        together = false;
        document.getElementById("hours-time").textContent = "";
        data.panels.forEach(function (each, n) {
          write(place.querySelectorAll(".line")[n], each, null);
        });
      },
      drawCallback: function (chart, first) {
        if (!first) {
          show(chart.xAxisRange(), chart);
        }
      }
    }));
  });

  function go(hours, shift) {
    var now = charts[0].xAxisRange(), from = base + data.coldest * hour, to = from + 24 * hour;
    if (shift) {
      var width = now[1] - now[0];
      from = Math.min(Math.max(base, now[0] + shift * width), end - width);
      to = from + width;
    } else if (hours > 24) {
      from -= (hours - 24) / 2 * hour;
      to = from + hours * hour;
      from = Math.max(base, from);
      to = Math.min(end, to);
    }
    show([from, to], null);
  }
  [["day", 24, 0], ["week", 168, 0], ["year", 1e5, 0], ["back", 0, -1], ["on", 0, 1]].forEach(function (button) {
    document.getElementById("hours-" + button[0]).addEventListener("click", function () {
      go(button[1], button[2]);
    });
  });
  go(24, 0);
})();
