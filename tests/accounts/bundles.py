"""Bundles after the OneRoster 1.2 CSV binding, for tests: tables with the columns of the standard, zipped.

The columns are those of 1EdTech OneRoster CSV Binding 1.2.1 (August 2023), section 3, from memory; all
people and numbers are made up.
"""

import io
import zipfile
from collections.abc import Iterable, Mapping

USERS = (
    "sourcedId,status,dateLastModified,enabledUser,username,userIds,givenName,familyName,middleName,"
    "identifier,email,sms,phone,agentSourcedIds,grades,password,userMasterIdentifier,resourceSourcedIds,"
    "preferredGivenName,preferredMiddleName,preferredFamilyName,primaryOrgSourcedId,pronouns"
)
CLASSES = (
    "sourcedId,status,dateLastModified,title,grades,courseSourcedId,classCode,classType,location,"
    "schoolSourcedId,termSourcedIds,subjects,subjectCodes,periods"
)
ENROLLMENTS = (
    "sourcedId,status,dateLastModified,classSourcedId,schoolSourcedId,"
    "userSourcedId,role,primary,beginDate,endDate"
)
ROLES = (
    "sourcedId,status,dateLastModified,userSourcedId,roleType,role,"
    "beginDate,endDate,orgSourcedId,userProfileSourcedId"
)
SECRET = "never-kept-7391"


def row(heading: str, **cells: str) -> str:
    return ",".join(cells.get(column, "") for column in heading.split(","))


def user(key: str, given: str, family: str = "Marsh", **more: str) -> str:
    private = {"password": SECRET, "email": f"{SECRET}@school.example", "phone": SECRET, "username": SECRET}
    cells = {"sourcedId": key, "givenName": given, "familyName": family, "enabledUser": "true"}
    return row(USERS, **{**private, **cells, **more})


def school_class(key: str, title: str, **more: str) -> str:
    return row(CLASSES, sourcedId=key, title=title, **more)


def enrolment(key: str, user: str, **more: str) -> str:
    """In class c1 as a student, unless told otherwise."""
    usual = {"sourcedId": key, "userSourcedId": user, "classSourcedId": "c1", "role": "student"}
    return row(ENROLLMENTS, **{**usual, **more})


def role(key: str, user: str, name: str, **more: str) -> str:
    return row(ROLES, sourcedId=key, userSourcedId=user, roleType="primary", role=name, **more)


def manifest(**changes: str) -> str:
    said = {
        "manifest.version": "1.0",
        "oneroster.version": "1.2",
        "file.users": "bulk",
        "file.classes": "bulk",
        "file.enrollments": "bulk",
        "file.roles": "absent",
        **{name.replace("_", ".", 1): value for name, value in changes.items()},
    }
    return "\n".join(["propertyName,value", *(f"{name},{value}" for name, value in said.items())])


def zipped(tables: Mapping[str, str | bytes]) -> bytes:
    content = io.BytesIO()
    with zipfile.ZipFile(content, "w", zipfile.ZIP_DEFLATED) as bundle:
        for name, text in tables.items():
            bundle.writestr(name, text)
    return content.getvalue()


def bundle(
    users: Iterable[str] = (),
    enrolments: Iterable[str] = (),
    classes: Iterable[str] = (school_class("c1", "Chemistry 3 B"),),
    roles: Iterable[str] = (),
    **said: str,
) -> bytes:
    tables = {
        "manifest.csv": manifest(**said),
        "users.csv": "\n".join([USERS, *users]),
        "classes.csv": "\n".join([CLASSES, *classes]),
        "enrollments.csv": "\n".join([ENROLLMENTS, *enrolments]),
    }
    if roles:
        tables["roles.csv"] = "\n".join([ROLES, *roles])
    return zipped(tables)
