"""Statements of an invented bank in camt.053.

The elements are those of ISO 20022 camt.053.001.08 and 001.02 (both files are valid against the
schemas of these versions); what they say is invented.
"""

NAMESPACE = "urn:iso:std:iso:20022:tech:xsd:camt.053.001.{version}"
ACCOUNT = "DE89370400440532013000"  # Source: the example of the IBAN registry (ISO 13616).
OTHER_ACCOUNT = "GB29NWBK60161331926819"  # the same


def balance(code, amount, currency="EUR", day="2026-03-02"):
    return f"""
      <Bal><Tp><CdOrPrtry><Cd>{code}</Cd></CdOrPrtry></Tp>
        <Amt Ccy="{currency}">{amount}</Amt><CdtDbtInd>CRDT</CdtDbtInd><Dt><Dt>{day}</Dt></Dt></Bal>
    """


def remittance(reference="", text=""):
    said = f"<Ustrd>{text}</Ustrd>" if text else ""
    if reference:
        said += f"""<Strd><CdtrRefInf><Tp><CdOrPrtry><Cd>SCOR</Cd></CdOrPrtry></Tp>
            <Ref>{reference}</Ref></CdtrRefInf></Strd>"""
    return f"<RmtInf>{said}</RmtInf>" if said else ""


def told_by(payer="", remitted="", version="08", part="", own=""):
    name = f"<Nm>{payer}</Nm>"
    debtor = f"<Dbtr><Pty>{name}</Pty></Dbtr>" if version == "08" else f"<Dbtr>{name}</Dbtr>"
    account = f"<DbtrAcct><Id><IBAN>{OTHER_ACCOUNT}</IBAN></Id></DbtrAcct>"
    amount = f'<Amt Ccy="EUR">{part}</Amt><CdtDbtInd>CRDT</CdtDbtInd>' if part else ""
    return f"""<TxDtls><Refs><EndToEndId>{own or "NOTPROVIDED"}</EndToEndId></Refs>{amount}
        <RltdPties>{debtor}{account}</RltdPties>{remitted}</TxDtls>"""


def entry(amount, *details, reference="", sign="CRDT", status="BOOK", version="08"):
    state = f"<Cd>{status}</Cd>" if version == "08" else status
    bank = f"<AcctSvcrRef>{reference}</AcctSvcrRef>" if reference else ""
    told = f"<NtryDtls>{''.join(details)}</NtryDtls>" if details else ""
    return f"""
      <Ntry><Amt Ccy="EUR">{amount}</Amt><CdtDbtInd>{sign}</CdtDbtInd><Sts>{state}</Sts>
        <BookgDt><Dt>2026-03-02</Dt></BookgDt><ValDt><Dt>2026-03-02</Dt></ValDt>{bank}
        <BkTxCd><Domn><Cd>PMNT</Cd><Fmly><Cd>RCDT</Cd><SubFmlyCd>ESCT</SubFmlyCd></Fmly></Domn>
        </BkTxCd>{told}</Ntry>
    """


def statement(*entries, identifier="2026-042", opening="1000.00", closing="1000.00"):
    return f"""
    <Stmt><Id>{identifier}</Id><ElctrncSeqNb>42</ElctrncSeqNb>
      <CreDtTm>2026-03-02T23:00:00Z</CreDtTm>
      <Acct><Id><IBAN>{ACCOUNT}</IBAN></Id><Ccy>EUR</Ccy></Acct>
      {balance("OPBD", opening)}{balance("CLBD", closing)}{"".join(entries)}</Stmt>
    """


def document(*statements, version="08", last_page="true"):
    return f"""<?xml version="1.0" encoding="UTF-8"?>
<Document xmlns="{NAMESPACE.format(version=version)}"><BkToCstmrStmt>
  <GrpHdr><MsgId>M-42</MsgId><CreDtTm>2026-03-02T23:00:00Z</CreDtTm>
    <MsgPgntn><PgNb>1</PgNb><LastPgInd>{last_page}</LastPgInd></MsgPgntn></GrpHdr>
  {"".join(statements)}
</BkToCstmrStmt></Document>
""".encode()
