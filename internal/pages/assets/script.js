// Name suggestions as you type (a combobox after the ARIA pattern) and copying. Every
// page works without it.
(function () {
  "use strict";
  var serial = 0;

  // suggest turns an input into a combobox with a listbox of names.
  function suggest(input, chosen) {
    var id = "names-" + ++serial;
    var list = document.createElement("ul");
    var status = document.createElement("span");
    var active = -1, timer = 0, asked = "";
    list.id = id;
    list.className = "suggestions";
    list.setAttribute("role", "listbox");
    list.setAttribute("aria-label", input.dataset.label);
    list.hidden = true;
    status.className = "quietly";
    status.setAttribute("role", "status");
    input.setAttribute("role", "combobox");
    input.setAttribute("aria-autocomplete", "list");
    input.setAttribute("aria-controls", id);
    input.setAttribute("aria-expanded", "false");
    input.parentNode.append(list, status);

    function close() {
      list.hidden = true;
      list.textContent = "";
      active = -1;
      asked = "";
      input.setAttribute("aria-expanded", "false");
      input.removeAttribute("aria-activedescendant");
    }
    function mark(to) {
      var options = list.children;
      if (!options.length) { return; }
      if (active >= 0) { options[active].setAttribute("aria-selected", "false"); }
      active = (to + options.length) % options.length;
      options[active].setAttribute("aria-selected", "true");
      options[active].scrollIntoView({ block: "nearest" });
      input.setAttribute("aria-activedescendant", options[active].id);
    }
    function take(option) {
      input.value = option.dataset.name;
      close();
      asked = input.value;
      if (chosen) { chosen(); }
    }
    function show(names) {
      list.textContent = "";
      names.forEach(function (n, i) {
        var option = document.createElement("li");
        option.id = id + "-" + i;
        option.setAttribute("role", "option");
        option.setAttribute("aria-selected", "false");
        option.dataset.name = n.id;
        option.append(n.name);
        if (n.scientific !== n.name) {
          var latin = document.createElement("i");
          latin.lang = "la";
          latin.textContent = " " + n.scientific;
          option.append(latin);
        }
        if (n.matched && n.matched !== n.name && n.matched !== n.scientific) { option.append(" (" + n.matched + ")"); }
        option.addEventListener("pointerdown", function (e) { e.preventDefault(); take(option); });
        list.append(option);
      });
      active = -1;
      list.hidden = !names.length;
      input.setAttribute("aria-expanded", String(!!names.length));
      status.textContent = input.dataset.count.replace("{count}", names.length);
    }
    function ask() {
      var q = input.value.trim();
      if (q === asked) { return; }
      asked = q;
      if (q.length < 2) { close(); return; }
      fetch("/suggest?q=" + encodeURIComponent(q)).then(function (r) { return r.ok ? r.json() : []; }).then(function (names) {
        if (q === asked && document.activeElement === input) { show(names); }
      }).catch(close);
    }
    input.addEventListener("input", function () { clearTimeout(timer); timer = setTimeout(ask, 120); });
    input.addEventListener("keydown", function (e) {
      switch (e.key) {
        case "ArrowDown": if (list.hidden) { asked = ""; ask(); } else { mark(active + 1); } break;
        case "ArrowUp": if (list.hidden) { return; } mark(active < 0 ? -1 : active - 1); break;
        case "Enter": if (list.hidden || active < 0) { return; } take(list.children[active]); break;
        case "Escape": if (list.hidden) { return; } close(); break;
        default: return;
      }
      e.preventDefault();
    });
    input.addEventListener("blur", close);
  }

  // adder puts a combobox above a list, which adds a line to it.
  function adder(area) {
    var row = document.createElement("div"), label = document.createElement("label"), input = document.createElement("input");
    var button = document.createElement("button");
    row.className = "row";
    input.id = area.id + "-add";
    input.autocomplete = "off";
    input.maxLength = 200;
    input.dataset.label = area.dataset.label;
    input.dataset.count = area.dataset.count;
    label.htmlFor = input.id;
    label.textContent = area.dataset.add;
    button.type = "button";
    button.className = "quiet";
    button.textContent = area.dataset.go;
    function add() {
      var name = input.value.trim();
      if (!name) { return; }
      area.value = area.value.replace(/\s*$/, "");
      area.value += (area.value ? "\n" : "") + (/^\d/.test(name) ? name : "1 " + name);
      input.value = "";
      input.focus();
    }
    row.append(label, input);
    area.closest(".row").after(row);
    suggest(input);
    row.append(button);
    button.addEventListener("click", add);
    input.addEventListener("keydown", function (e) { // behind that of the suggestions
      if (e.key === "Enter" && !e.defaultPrevented) { e.preventDefault(); add(); }
    });
  }

  // copying copies the text of a field and says so.
  function copying(button) {
    button.hidden = false;
    button.addEventListener("click", function () {
      var field = document.getElementById(button.dataset.copy);
      var status = button.closest("section").querySelector("[role=status]");
      function say(ok) { status.textContent = ok ? status.dataset.copied : status.dataset.failed; }
      field.select();
      if (navigator.clipboard) {
        navigator.clipboard.writeText(field.value).then(function () { say(true); }, function () { say(document.execCommand("copy")); });
      } else {
        say(document.execCommand("copy"));
      }
    });
  }

  document.querySelectorAll("[data-suggest]").forEach(function (i) { suggest(i); });
  document.querySelectorAll("[data-list]").forEach(adder);
  document.querySelectorAll("[data-copy]").forEach(copying);
})();
