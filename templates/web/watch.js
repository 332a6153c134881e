// A page that is being written: it looks for the stamp of a newer build beside it, and shows what is wrong.
(() => {
  const own = document.body.dataset.stamp;
  const box = document.createElement("p");
  box.className = "failure";
  box.setAttribute("role", "alert");
  window.stamped = ({stamp, wrong}) => {
    if (stamp && stamp !== own) { location.reload(); return; }
    if (box.textContent !== wrong) box.textContent = wrong;
    if (wrong && !box.isConnected) document.body.prepend(box);
    if (!wrong) box.remove();
  };
  const look = () => {
    const script = document.createElement("script");
    script.src = "stamp.js?" + Date.now();
    script.onload = script.onerror = () => { script.remove(); setTimeout(look, 500); };
    document.head.append(script);
  };
  look();
})();
