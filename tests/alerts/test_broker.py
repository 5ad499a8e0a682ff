"""Messages to a broker: a real one on this machine where its program is installed."""

from __future__ import annotations

import json
import shutil
import subprocess
from dataclasses import replace

import pytest
from alert_cases import START, alert, clock_words
from real_broker import TOPIC, Listener, free_port, real, running, wait_until

from shellcoat.alerts.broker import BrokerError, BrokerWay, Link, payload
from shellcoat.alerts.folding import fold
from shellcoat.alerts.life import AlertWhat
from shellcoat.alerts.passwords import Passwords
from shellcoat.shop import Broker


def line():
    shell = replace(alert(1, shell_name="Größe"), due_at=START)
    return fold([shell], START, clock_words)[0]


def test_a_message_says_what_a_listener_needs():
    told = json.loads(payload(line()))
    assert told["kind"] == "prompt"
    assert told["text"] == "Größe (B3): coat 4 of 9 dry since 08:00; next dip"
    (about,) = told["alerts"]
    assert (about["what"], about["shell"], about["place"]) == ("next dip", "Größe", "B3")
    assert (about["coat"], about["coats"]) == (4, 9)
    assert about["due_at"] == "2016-03-14T08:00:00+00:00"
    alarm = fold([alert(2, what=AlertWhat.ROOM_SWING)], START, clock_words)[0]
    assert json.loads(payload(alarm))["kind"] == "alarm"


def test_two_messages_of_one_alert_can_be_told_apart_from_one_sent_twice():
    assert json.loads(payload(line()))["id"] != json.loads(payload(line()))["id"]


def test_a_broker_that_is_away_keeps_nobody_waiting_and_is_told_as_such():
    way = BrokerWay(Broker(host="127.0.0.1", port=free_port(), topic=TOPIC))
    way.tell([line()] * 3)
    assert way.waiting == 3
    wait_until(lambda: way.state[1] != "")
    assert way.state == (Link.CONNECTING, "no answer at this host and port")
    way.close()


@real
def test_what_is_told_arrives_once_and_is_not_retained(tmp_path):
    port = free_port()
    with running(tmp_path, port, "allow_anonymous true"), Listener(port) as listener:
        way = BrokerWay(Broker(host="127.0.0.1", port=port, topic=TOPIC))
        way.tell([line()])
        assert listener.next()["text"].startswith("Größe (B3)")
        wait_until(lambda: way.waiting == 0)
        assert way.state[0] is Link.CONNECTED
        assert (len(listener.messages), listener.retained) == (1, [False])
        way.close()


@real
def test_what_is_told_before_the_broker_is_there_arrives_when_it_comes(tmp_path):
    port = free_port()
    way = BrokerWay(Broker(host="127.0.0.1", port=port, topic=TOPIC))
    wait_until(lambda: way.state[1] != "")
    with running(tmp_path, port, "allow_anonymous true"), Listener(port) as listener:
        way.tell([line()])
        assert listener.next()["kind"] == "prompt"
        way.close()


@real
def test_a_password_opens_the_door_and_a_wrong_one_is_told(tmp_path):
    port = free_port()
    passwords = tmp_path / "passwords"
    subprocess.run(
        [shutil.which("mosquitto_passwd") or "/usr/bin/mosquitto_passwd", "-b", "-c",
         str(passwords), "bench", "kiln"],
        check=True, capture_output=True,
    )  # fmt: skip
    passwords.chmod(0o600)
    broker = Broker(host="127.0.0.1", port=port, topic=TOPIC, user="bench")
    with running(tmp_path, port, "allow_anonymous false", f"password_file {passwords}"):
        right = BrokerWay(broker, "kiln")
        wait_until(lambda: right.state[0] is Link.CONNECTED)
        wrong = BrokerWay(broker, "furnace")
        wait_until(lambda: wrong.state[0] is Link.REFUSED)
        with pytest.raises(BrokerError, match="Look at its user and password"):
            wrong.tell([line()])
        right.close()
        wrong.close()


@real
def test_a_broker_that_restarts_is_found_again(tmp_path):
    port = free_port()
    with running(tmp_path, port, "allow_anonymous true"):
        way = BrokerWay(Broker(host="127.0.0.1", port=port, topic=TOPIC))
        wait_until(lambda: way.state[0] is Link.CONNECTED)
    wait_until(lambda: way.state[0] is not Link.CONNECTED)
    with running(tmp_path, port, "allow_anonymous true"), Listener(port) as listener:
        way.tell([line()])
        assert listener.next()["kind"] == "prompt"
        way.close()


class Ring:
    """A keyring that keeps in memory, or fails."""

    def __init__(self, *, fails=False, priority=5):
        self.kept, self.fails, self.priority = {}, fails, priority

    def get_keyring(self):
        return self

    def get_password(self, service, name):
        if self.fails:
            raise RuntimeError("locked")
        return self.kept.get((service, name))

    def set_password(self, service, name, password):
        if self.fails:
            raise RuntimeError("locked")
        self.kept[service, name] = password


@pytest.mark.parametrize(
    ("ring", "lasts"),
    [(Ring(), True), (Ring(fails=True), False), (Ring(priority=0), False), (None, False)],
    ids=["a keyring", "a locked keyring", "no service behind it", "not installed"],
)
def test_a_password_outlasts_the_session_only_in_a_keyring(monkeypatch, ring, lasts):
    def find(name):
        if ring is None:
            raise ImportError(name)
        return ring

    monkeypatch.setattr("shellcoat.alerts.passwords.import_module", find)
    broker = Broker(host="barn", user="bench")
    passwords = Passwords()
    assert passwords.recall(broker) is None
    assert passwords.keep(broker, "kiln") is lasts
    assert passwords.recall(broker) == "kiln"
    assert (Passwords().recall(broker) == "kiln") is lasts
    assert passwords.recall(replace(broker, user="other")) is None
