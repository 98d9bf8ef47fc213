"""A student of a running class, by Jupyter's own protocol: what the browser would ask of hub, server and kernel."""

import asyncio
import http.cookies
import json
import pathlib
import re
import time
import urllib.parse
import uuid

from tornado.httpclient import AsyncHTTPClient, HTTPRequest
from tornado.websocket import websocket_connect

LESSON = "01-one-show.ipynb"
ROOT = pathlib.Path(__file__).resolve().parents[3]
PATIENCE = 600  # seconds for one cell, or for one server to start


class Student:
    """One student's browser: cookies, and what they did."""

    def __init__(self, address, name):
        self.address, self.name = address, name
        self.cookies = {}
        self.base = f"/user/{name}/"
        self.http = AsyncHTTPClient()

    async def ask(self, path, method="GET", body=None, form=None):
        """One request, redirects followed by hand so that every cookie is kept."""
        url = urllib.parse.urljoin(self.address, path)
        headers = {}
        if form is not None:
            body = urllib.parse.urlencode(form)
            headers["Content-Type"] = "application/x-www-form-urlencoded"
        elif body is not None:
            body = json.dumps(body)
            headers["Content-Type"] = "application/json"
        for _ in range(12):
            headers["Cookie"] = self.cookie_header(urllib.parse.urlparse(url).path)
            token = self.xsrf(urllib.parse.urlparse(url).path)
            if token and method != "GET":
                headers["X-XSRFToken"] = token
            request = HTTPRequest(
                url, method=method, headers=headers, body=body, follow_redirects=False,
                request_timeout=PATIENCE, connect_timeout=60, allow_nonstandard_methods=True,
            )
            answer = await self.http.fetch(request, raise_error=False)
            self.keep(answer)
            if answer.code not in (301, 302, 303, 307):
                return answer
            url = urllib.parse.urljoin(url, answer.headers["Location"])
            method, body = "GET", None
        raise RuntimeError(f"{self.name}: too many redirects at {path}")

    def keep(self, answer):
        for line in answer.headers.get_list("Set-Cookie"):
            for key, morsel in http.cookies.SimpleCookie(line).items():
                place = (key, morsel["path"] or "/")
                if morsel.value:
                    self.cookies[place] = morsel.value
                else:
                    self.cookies.pop(place, None)

    def cookie_header(self, path):
        return "; ".join(f"{key}={value}" for (key, where), value in self.cookies.items() if path.startswith(where))

    def xsrf(self, path):
        fits = [(len(where), value) for (key, where), value in self.cookies.items() if key == "_xsrf" and path.startswith(where)]
        return max(fits)[1] if fits else None

    async def log_in(self):
        page = await self.ask("/hub/login")
        token = re.search(r'name="_xsrf" value="([^"]*)"', page.body.decode())
        form = {"username": self.name, "password": f"a password of {self.name}", "_xsrf": token.group(1) if token else ""}
        answer = await self.ask("/hub/login", "POST", form=form)
        need(answer.code in (200, 202, 404, 503), f"log-in answered {answer.code}")
        need("belong together" not in answer.body.decode(), "log-in was refused")

    async def start_server(self):
        end = time.time() + PATIENCE
        await self.ask(f"/hub/spawn/{self.name}")
        while time.time() < end:
            answer = await self.ask(self.base + "api/status")
            if answer.code == 200 and b"kernels" in answer.body:
                return
            if answer.code == 403:  # it runs and wants to know who this is: the page goes and asks the hub
                await self.ask(self.base + "lab")
                continue
            if answer.code in (424, 503):  # not begun
                await self.ask(f"/hub/spawn/{self.name}")
            await asyncio.sleep(2)
        raise RuntimeError("the server did not start")

    async def open(self, path):
        answer = await self.ask(self.base + f"api/contents/{urllib.parse.quote(path)}?content=1")
        need(answer.code == 200, f"{path} answered {answer.code}")
        return json.loads(answer.body)

    async def save(self, path, notebook):
        body = {"type": "notebook", "format": "json", "content": notebook}
        answer = await self.ask(self.base + f"api/contents/{urllib.parse.quote(path)}", "PUT", body=body)
        need(answer.code in (200, 201), f"saving {path} answered {answer.code}")

    async def mark(self, text):
        """Saves a mark in the lesson, as a student's change."""
        notebook = (await self.open(LESSON))["content"]
        notebook["cells"][0]["metadata"]["mark"] = text
        await self.save(LESSON, notebook)

    async def marked(self):
        return (await self.open(LESSON))["content"]["cells"][0]["metadata"].get("mark")

    async def start_kernel(self, path):
        body = {"path": path, "name": path, "type": "notebook", "kernel": {"name": "tslab"}}
        answer = await self.ask(self.base + "api/sessions", "POST", body=body)
        need(answer.code == 201, f"a kernel answered {answer.code}")
        self.kernel = json.loads(answer.body)["kernel"]["id"]
        self.session = uuid.uuid4().hex
        where = self.base + f"api/kernels/{self.kernel}/channels"
        url = self.address.replace("http", "ws", 1) + where + f"?session_id={self.session}"
        headers = {"Cookie": self.cookie_header(where), "Origin": self.address}
        token = self.xsrf(where)
        if token:
            headers["X-XSRFToken"] = token
        self.socket = await websocket_connect(
            HTTPRequest(url, headers=headers, connect_timeout=PATIENCE, request_timeout=PATIENCE), max_message_size=2**28)

    async def stop_kernel(self):
        self.socket.close()
        await self.ask(self.base + f"api/kernels/{self.kernel}", "DELETE")

    async def run(self, code):
        """Runs a cell; its outputs, and when the first figure came."""
        identity = uuid.uuid4().hex
        header = {"msg_id": identity, "username": self.name, "session": self.session, "msg_type": "execute_request",
                  "version": "5.3", "date": time.strftime("%Y-%m-%dT%H:%M:%SZ")}
        content = {"code": code, "silent": False, "store_history": True, "user_expressions": {},
                   "allow_stdin": False, "stop_on_error": True}
        await self.socket.write_message(json.dumps(
            {"header": header, "parent_header": {}, "metadata": {}, "content": content, "channel": "shell", "buffers": []}))
        outputs, figure, status, idle = [], None, None, False
        while status is None or not idle:
            text = await asyncio.wait_for(self.socket.read_message(), PATIENCE)
            need(text is not None, "the connection to the kernel was lost")
            message = json.loads(text) if isinstance(text, str) else {}
            if message.get("parent_header", {}).get("msg_id") != identity:
                continue
            kind, said = message["msg_type"], message["content"]
            if kind == "execute_reply":
                status = said["status"]
            elif kind == "status":
                idle = said["execution_state"] == "idle"
            elif kind == "display_data":
                figure = figure or time.time()
                outputs.append({"output_type": kind, "data": said["data"], "metadata": said["metadata"]})
            elif kind == "stream":
                outputs.append({"output_type": kind, "name": said["name"], "text": said["text"]})
            elif kind == "error":
                outputs.append({"output_type": kind, **{k: said[k] for k in ("ename", "evalue", "traceback")}})
        return status, outputs, figure


def need(condition, what):
    if not condition:
        raise RuntimeError(what)
