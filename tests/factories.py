"""People and classes for tests."""

import factory
from factory.django import DjangoModelFactory

from accounts.models import SchoolClass, User

PASSWORD = "copper and nitrate"


class UserFactory(DjangoModelFactory[User]):
    class Meta:
        model = User
        skip_postgeneration_save = True

    username = factory.Sequence("student{}".format)
    display_name = factory.LazyAttribute(lambda user: user.username.title())
    password = factory.PostGenerationMethodCall("set_password", PASSWORD)

    @classmethod
    def _after_postgeneration(cls, instance, create, results=None):
        if create:
            instance.save()


class TeacherFactory(UserFactory):
    username = factory.Sequence("teacher{}".format)
    is_teacher = True


class SchoolClassFactory(DjangoModelFactory[SchoolClass]):
    class Meta:
        model = SchoolClass

    name = factory.Sequence("Class {}".format)
